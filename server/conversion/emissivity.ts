import { z } from 'zod';
import { BARE_METAL, SURFACES } from '../../shared/surface.ts';
import { ZERO_CELSIUS_K } from '../../shared/units.ts';
import { parsed, type Converted, type Converter } from './converter.ts';

/** What an instrument is set to when it leaves the works, and the background that it assumes, °C. */
export const INSTRUMENT_EMISSIVITY = 0.95;
export const INSTRUMENT_BACKGROUND = 20;
/** Below this most of what the instrument sees is a reflection. Our choice, between bare and oxidised metal. */
const MIRROR_BELOW = 0.6;

const options = z.object({
  /** Row of `SURFACES`. */
  surface: z.string().optional(),
  /** ε of the surface; goes before the table's. */
  emissivity: z.number().gt(0).max(1).optional(),
  emissivitySet: z.number().gt(0).max(1).default(INSTRUMENT_EMISSIVITY),
  /** What the surface mirrors: the sky or you with the lid open, the dome with it closed, °C. */
  reflected: z.number().min(-60).max(1000).default(INSTRUMENT_BACKGROUND),
  reflectedSet: z.number().min(-60).max(1000).default(INSTRUMENT_BACKGROUND),
});

const fourth = (celsius: number): number => (celsius + ZERO_CELSIUS_K) ** 4;

/**
 * True surface temperature, °C, from what an infrared instrument read. Grey surface, total radiation (handbook section 8):
 * W = ε_set·T_read⁴ + (1 − ε_set)·T_refl,set⁴;  T = ((W − (1 − ε)·T_refl⁴)/ε)^¼ in kelvin.
 * Instruments of 8–14 µm follow about T^2.8 near 270 °C, so that a low ε leaves some degrees of error: show no tenths.
 * @returns null when the reading is less than the reflection alone, or can't be
 */
export function surfaceCelsius(
  read: number,
  at: {
    emissivity: number;
    emissivitySet: number;
    reflected: number;
    reflectedSet?: number;
  },
): number | null {
  const { emissivity: ε, emissivitySet: εSet, reflected, reflectedSet = INSTRUMENT_BACKGROUND } = at;
  const W = εSet * fourth(read) + (1 - εSet) * fourth(reflectedSet);
  const own = (W - (1 - ε) * fourth(reflected)) / ε;
  // A fourth power hides the sign: nothing reads below absolute zero.
  const canBe = read >= -ZERO_CELSIUS_K && own > 0 && Number.isFinite(own);
  return canBe ? own ** 0.25 - ZERO_CELSIUS_K : null;
}

function emissivityOf(given: z.output<typeof options>): { ε: number; doubt: string | undefined } {
  const row = SURFACES.find((surface) => surface.id === given.surface);
  const ε = given.emissivity ?? row?.emissivity ?? given.emissivitySet;
  if (row) return { ε, doubt: row.doubt };
  if (ε < MIRROR_BELOW) return { ε, doubt: BARE_METAL };
  if (given.emissivity !== undefined) return { ε, doubt: undefined };
  return { ε, doubt: 'what surface it was of is not known: say so for a corrected reading' };
}

/** Infrared reading → temperature of the surface. Its options come with each reading. */
export const emissivity: Converter = {
  kind: 'emissivity',
  label: 'Infrared, corrected for the surface',
  takes: ['infrared'],
  options,
  prepare(raw) {
    const given = parsed(options, raw);
    const { ε, doubt } = emissivityOf(given);
    return (read): Converted => {
      const celsius = surfaceCelsius(read, { ...given, emissivity: ε });
      if (celsius === null)
        return {
          celsius: null,
          fault: 'less than the reflection alone would give: the surface or what it mirrors is not as said',
        };
      return doubt === undefined ? { celsius } : { celsius, doubt };
    };
  },
};
