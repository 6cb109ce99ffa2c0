import type { FireTraits } from './fire.ts';
import { BRICK, CORDIERITE, FIRECLAY, STEEL, type Material } from './material.ts';
import { PLAIN, type Structure } from './structure.ts';

/** A grill with its stone, as it stands before the fire is lit. Lengths m, areas m², masses kg. */
export type Grill = {
  name: string;
  charcoal: number;
  fire: FireTraits;
  /** Free area of the vents when wide open, height of the hot column, and share that leaks when they are shut. */
  vents: { bottom: number; top: number; height: number; leak: number };
  /** Heat that the open lid lets out for each kelvin of the gas in still air, W/K. Own estimate. */
  lid: number;
  grate: number;
  wall: { thickness: number; inner: number; outer: number };
  deflector: { mass: number; area: number };
  stone: {
    material: Material;
    thickness: number;
    area: number;
    /** Air gap between deflector and stone. */
    gap: number;
    /** Share of the area that is the middle, where the pizza lies; 1 = the stone is one zone. */
    middle: number;
    /** How much of what the probe feels is the middle (the rest is the rim). */
    probeOnMiddle: number;
  };
  structure: Structure;
};

export type Weather = {
  /** °C. */
  ambient: number;
  /** Mean wind and its standing deviation in gusts, m/s. */
  wind: number;
  gusts: number;
  /** Squalls an hour: spells of a minute or three with so much more wind, m/s. */
  squalls: { perHour: number; wind: number };
  /** mm/h. */
  rain: number;
};

const disc = (diameter: number): number => (Math.PI * diameter * diameter) / 4;

const FIRE: FireTraits = {
  heat: 29.5e6,
  speed: 8e-4,
  spread: 6,
  starterPower: 2000,
  follows: null,
  takeOff: 0,
  delay: 0,
  starves: 0,
  clogs: 0,
};

/** A middling grill; the named ones differ from it. Body ≈ 52 kg (from memory: 40 to 100 kg, wall 20 to 35 mm). */
export const MIDDLING: Grill = {
  name: 'middling grill, 15 mm cordierite',
  charcoal: 1.8,
  fire: FIRE,
  vents: { bottom: 0.0085, top: 0.0075, height: 0.55, leak: 0.02 },
  lid: 32,
  grate: 0.05,
  wall: { thickness: 0.025, inner: 0.9, outer: 1.15 },
  deflector: { mass: 3.6, area: 0.11 },
  stone: {
    material: CORDIERITE,
    thickness: 0.015,
    area: disc(0.36),
    gap: 0.012,
    middle: 1,
    probeOnMiddle: 1,
  },
  structure: PLAIN,
};

const withStone = (name: string, stone: Partial<Grill['stone']>, rest: Partial<Grill> = {}): Grill => ({
  ...MIDDLING,
  ...rest,
  name,
  stone: { ...MIDDLING.stone, ...stone },
});

export const GRILLS = {
  middling: MIDDLING,
  thick: withStone(
    'heavy grill, 20 mm cordierite',
    { thickness: 0.02, gap: 0.006 },
    {
      charcoal: 2.6,
      wall: { thickness: 0.033, inner: 1.0, outer: 1.35 },
    },
  ),
  small: withStone(
    'small grill, 12 mm cordierite',
    { thickness: 0.012, area: disc(0.33), gap: 0.018 },
    {
      charcoal: 1.2,
      vents: { bottom: 0.0065, top: 0.0055, height: 0.42, leak: 0.035 },
      wall: { thickness: 0.022, inner: 0.65, outer: 0.85 },
      deflector: { mass: 2.6, area: 0.09 },
      grate: 0.038,
    },
  ),
  steel: withStone('middling grill, 6 mm steel', { material: STEEL, thickness: 0.006, gap: 0.02 }),
  brick: withStone('middling grill, 28 mm brick', { material: BRICK, thickness: 0.028, gap: 0.008 }),
  fireclay: withStone('middling grill, 18 mm fireclay', { material: FIRECLAY, thickness: 0.018, gap: 0.014 }),
  twoZone: withStone('middling grill, 16 mm cordierite, middle and rim apart', {
    thickness: 0.016,
    area: disc(0.38),
    middle: 0.62,
    probeOnMiddle: 0.55,
  }),
} satisfies Record<string, Grill>;
export type GrillName = keyof typeof GRILLS;

export const FINE_EVENING: Weather = {
  ambient: 18,
  wind: 1.2,
  gusts: 0.6,
  squalls: { perHour: 0, wind: 0 },
  rain: 0,
};
