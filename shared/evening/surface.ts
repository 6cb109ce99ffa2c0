import { ZERO_CELSIUS_K } from '../units.ts';

/** A surface that a person points an infrared thermometer at. `doubt` says why its reading is not to be relied on. */
export type Surface = { id: string; label: string; emissivity: number; source: string; doubt?: string };

/** Why bare metal is not to be trusted. */
export const BARE_METAL =
  'bare bright metal mirrors its surroundings more than it shows its own heat: read off stone, or off a spot of soot';

/**
 * Total or 8–14 µm emissivity, the middle of the published range (appendices of four instrument manuals; rows
 * marked so are common practice, no source).
 */
export const SURFACES: readonly Surface[] = [
  { id: 'cordierite', label: 'Cordierite stone', emissivity: 0.92, source: '0.90–0.95, recalled' },
  { id: 'fireclay', label: 'Fireclay or brick', emissivity: 0.94, source: '0.93–0.95, instrument tables' },
  { id: 'ceramic', label: 'Unglazed ceramic', emissivity: 0.92, source: '0.90–0.95, instrument tables' },
  { id: 'glazed', label: 'Glazed ceramic', emissivity: 0.9, source: '0.88–0.92, instrument tables' },
  {
    id: 'cast-iron',
    label: 'Seasoned cast iron',
    emissivity: 0.85,
    source: '0.6–0.95, instrument tables',
    doubt: 'seasoned iron varies from pan to pan: the true temperature may be off by 20 °C',
  },
  {
    id: 'oxidised-steel',
    label: 'Oxidised steel',
    emissivity: 0.8,
    source: '0.7–0.9; 0.78–0.82 at 125–520 °C, instrument tables',
    doubt: 'oxidised steel varies: the true temperature may be off by 15 °C',
  },
  {
    id: 'bare-steel',
    label: 'Bare steel',
    emissivity: 0.2,
    source: '0.05–0.3, instrument tables',
    doubt: BARE_METAL,
  },
  {
    id: 'stainless',
    label: 'Stainless steel',
    emissivity: 0.16,
    source: '0.16, instrument tables',
    doubt: BARE_METAL,
  },
  {
    id: 'aluminium',
    label: 'Aluminium',
    emissivity: 0.07,
    source: '0.07 polished, instrument tables',
    doubt: BARE_METAL,
  },
  {
    id: 'floury',
    label: 'Floury or burnt spot',
    emissivity: 0.92,
    source: 'common practice, no source',
    doubt: 'flour and burnt spots differ from the stone beside them: take the mean of several spots',
  },
];

/** The background that an instrument assumes, °C. */
export const INSTRUMENT_BACKGROUND_CELSIUS = 20;

const fourth = (celsius: number): number => (celsius + ZERO_CELSIUS_K) ** 4;

/**
 * True surface temperature, °C, from what an infrared instrument read. Grey surface, total radiation (Stefan–Boltzmann law, textbook):
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
  const { emissivity: ε, emissivitySet: εSet, reflected, reflectedSet = INSTRUMENT_BACKGROUND_CELSIUS } = at;
  const W = εSet * fourth(read) + (1 - εSet) * fourth(reflectedSet);
  const own = (W - (1 - ε) * fourth(reflected)) / ε;
  // A fourth power hides the sign: nothing reads below absolute zero.
  const canBe = read >= -ZERO_CELSIUS_K && own > 0 && Number.isFinite(own);
  return canBe ? own ** 0.25 - ZERO_CELSIUS_K : null;
}

/**
 * What an instrument would read off a surface of so many °C: the same equation, with instrument and surface exchanged.
 * @returns null where nothing can be read
 */
export const infraredRead = (
  celsius: number,
  at: { emissivity: number; emissivitySet: number; reflected: number },
): number | null =>
  surfaceCelsius(celsius, {
    emissivity: at.emissivitySet,
    emissivitySet: at.emissivity,
    reflected: INSTRUMENT_BACKGROUND_CELSIUS,
    reflectedSet: at.reflected,
  });
