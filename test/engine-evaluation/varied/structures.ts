import { BRICK, CORDIERITE, FIRECLAY, STEEL, WALL, type Material } from '../../simulator/physics/material.ts';
import type { FireTraits } from '../../simulator/physics/fire.ts';
import type { Structure } from '../../simulator/physics/structure.ts';
import type { Person } from '../../simulator/person/person.ts';
import type { Random } from '../../simulator/random.ts';

/**
 * The two halves of the varied bank: one to tune on, one held out. They share no grill and, aspect by aspect, no way in
 * which a grill is made up, so that what only fits one simulator shows. All values are own estimates within what the
 * tables of the simulator's README allow.
 */
export type Half = 'tune' | 'held';

type Range = readonly [low: number, high: number];
type List<T> = readonly [T, ...T[]];

/** What a half is drawn from. */
export type Aspects = {
  stoneLayers: List<number | 'fine'>;
  materials: List<Material>;
  /** Of the stone, m. */
  thickness: Range;
  walls: List<Structure['wall']>;
  domeGasShare: List<Range>;
  /** Lag of what the dome probe sits in, s. */
  domeWell: List<Range>;
  probes: List<(random: Random) => Structure['probe']>;
  gapFlow: List<Range>;
  convection: List<Range>;
  plume: Range;
  gasCapacity: Range;
  shine: List<Structure['shine']>;
  fires: List<(random: Random) => Partial<FireTraits>>;
  squalls: Range;
  habits: List<Person['habit']>;
  vague: Range;
};

/** An insulating castable, and a dense one: textbook ranges, recalled. */
const LIGHT: Material = { k: 0.45, rho: 1100, c: 920, epsilon: 0.9 };
const DENSE: Material = { k: 2.0, rho: 2450, c: 900, epsilon: 0.85 };

const face = (): Structure['probe'] => ({ kind: 'face' });

export const ASPECTS: Record<Half, Aspects> = {
  tune: {
    stoneLayers: [1, 4, 'fine', 12],
    materials: [CORDIERITE, CORDIERITE, BRICK, STEEL],
    thickness: [0.012, 0.026],
    walls: [
      { layers: 1, material: WALL },
      { layers: 6, material: WALL },
    ],
    domeGasShare: [
      [0.42, 0.5],
      [0.66, 0.78],
    ],
    domeWell: [
      [0, 8],
      [0, 8],
      [40, 70],
    ],
    probes: [face, face, (random) => ({ kind: 'drilled', depth: random.between(0.002, 0.004) })],
    gapFlow: [
      [0, 0],
      [3, 5],
    ],
    convection: [[11, 14]],
    plume: [3, 4.5],
    gasCapacity: [2000, 4000],
    shine: [
      { deflector: 0.06, wall: 0.5 },
      { deflector: 0.025, wall: 0.35 },
    ],
    fires: [
      () => ({}),
      (random) => ({ follows: random.between(150, 300), delay: random.between(60, 180) }),
      (random) => ({ takeOff: random.between(0.5, 1.5) }),
    ],
    squalls: [0, 0],
    habits: [
      'careful',
      'late',
      'careful',
      'eager',
      'careful',
      'by-dome',
      'careful',
      'never',
      'late',
      'starved',
    ],
    vague: [0, 0.12],
  },
  held: {
    stoneLayers: [2, 3, 6, 8],
    materials: [CORDIERITE, FIRECLAY, FIRECLAY, DENSE],
    thickness: [0.01, 0.022],
    walls: [
      { layers: 2, material: WALL },
      { layers: 10, material: WALL },
      { layers: 3, material: LIGHT },
    ],
    domeGasShare: [
      [0.52, 0.62],
      [0.82, 0.97],
    ],
    domeWell: [
      [12, 35],
      [0, 12],
      [80, 120],
    ],
    probes: [
      face,
      face,
      face,
      (random) => ({ kind: 'contact', share: random.between(0.02, 0.08) }),
      (random) => ({ kind: 'contact', share: random.between(0.02, 0.08) }),
      () => ({ kind: 'under' }),
    ],
    gapFlow: [
      [1, 2.5],
      [6, 8],
    ],
    convection: [
      [8, 10],
      [15, 18],
    ],
    plume: [5, 6.5],
    gasCapacity: [1000, 6500],
    shine: [
      { deflector: 0.01, wall: 0.6 },
      { deflector: 0.045, wall: 0.25 },
    ],
    fires: [
      (random) => ({ takeOff: random.between(1.5, 2.5) }),
      (random) => ({ follows: random.between(50, 120), starves: random.between(0.02, 0.08) }),
      (random) => ({ clogs: random.between(0.3, 0.9), delay: random.between(180, 420) }),
    ],
    squalls: [0, 6],
    habits: [
      'careful',
      'late',
      'careful',
      'by-dome',
      'careful',
      'set',
      'careful',
      'steady',
      'late',
      'never',
      'starved',
    ],
    vague: [0, 0.25],
  },
};
