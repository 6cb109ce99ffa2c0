/**
 * Who stands at the grill. A person sees what the sensors say, some seconds late, decides now and then, and acts after
 * a further delay. Everything is seeded. Habits are invented; nobody's cook was copied.
 */
export type VentHabit =
  'careful' | 'late' | 'never' | 'starved' | 'eager' | 'set' | 'by-dome' | 'steady' | 'rule' | 'advised';

export type Person = {
  habit: VentHabit;
  band: readonly [low: number, high: number];
  /** Vent opening at the start, 0 to 1. */
  opening: number;
  /** Seconds between two looks at the thermometer, and from deciding to having done it. */
  looksEvery: number;
  reaction: number;
  /** How far the vents end up from where they were meant to, one standard deviation as a share. */
  vague: number;
  /** How far ahead, in minutes, a careful person thinks. */
  foresight: number;
  /** Number of pizzas they mean to bake; seconds for each, and at which they turn it (null: never). */
  pizzas: number;
  bake: number;
  turnAt: number | null;
  /** Diameter of a pizza, m, and how its baked base holds to the stone, W/(m²·K). */
  size: number;
  grip: number;
  /** Shortest pause between off and the next launch, s. */
  pause: number;
  /** Waits for the stone to stand still before a launch. */
  waits: boolean;
  /** By how much the stone may still be below its band at a launch, °C. */
  hasty: number;
  /** Mean seconds between two idle looks under the lid; 0: never. */
  peeks: number;
  /** kg of charcoal added when the fire flags; 0: none. */
  refuel: number;
};

/** An act of a person, as the truth lists it. */
export type Act =
  | { t: number; do: 'vent'; to: number }
  | { t: number; do: 'lid-open'; why: string }
  | { t: number; do: 'lid-close' }
  | { t: number; do: 'launch' | 'turn' | 'off' }
  | { t: number; do: 'fuel'; kg: number };
export type Deed = Act extends infer A ? (A extends Act ? Omit<A, 't'> : never) : never;

/** What a person sees at a look: stone and dome, °C, and what the stone did over the last minutes, °C/min. */
export type Sight = {
  t: number;
  stone: number;
  dome: number;
  perMinute: number;
  domePerMinute: number;
  vent: number;
  /** A pizza is on the stone: the dip is its, not the fire's. */
  baking: boolean;
  /** The opening that somebody advises, null where nobody does. */
  advised: number | null;
};
