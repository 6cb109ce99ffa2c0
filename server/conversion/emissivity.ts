import { z } from 'zod';
import {
  BARE_METAL,
  INSTRUMENT_BACKGROUND_CELSIUS,
  SURFACES,
  surfaceCelsius,
} from '../../shared/evening/surface.ts';
import { parsed, type Converted, type Converter } from './converter.ts';

/** What an instrument is set to when it leaves the works. */
const INSTRUMENT_EMISSIVITY = 0.95;
/** Below this most of what the instrument sees is a reflection. Our choice, between bare and oxidised metal. */
const MIRROR_BELOW = 0.6;

const options = z.object({
  /** Row of `SURFACES`. */
  surface: z.string().optional(),
  /** ε of the surface; goes before the table's. */
  emissivity: z.number().gt(0).max(1).optional(),
  emissivitySet: z.number().gt(0).max(1).default(INSTRUMENT_EMISSIVITY),
  /** What the surface mirrors: the sky or you with the lid open, the dome with it closed, °C. */
  reflected: z.number().min(-60).max(1000).default(INSTRUMENT_BACKGROUND_CELSIUS),
  reflectedSet: z.number().min(-60).max(1000).default(INSTRUMENT_BACKGROUND_CELSIUS),
});

function emissivityOf(given: z.output<typeof options>): { ε: number; doubt: string | undefined } {
  const row = SURFACES.find((surface) => surface.id === given.surface);
  const ε = given.emissivity ?? row?.emissivity ?? given.emissivitySet;
  if (row) return { ε, doubt: row.doubt };
  if (ε < MIRROR_BELOW) return { ε, doubt: BARE_METAL };
  if (given.emissivity !== undefined) return { ε, doubt: undefined };
  return { ε, doubt: 'the surface is not known: name it for a corrected reading' };
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
          fault: 'less than the reflection alone would give: the surface or what it mirrors is not as given',
        };
      return doubt === undefined ? { celsius } : { celsius, doubt };
    };
  },
};
