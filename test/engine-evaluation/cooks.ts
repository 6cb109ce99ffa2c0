import type { CookPlan } from '../simulator/cook.ts';
import type { Person } from '../simulator/person/person.ts';
import { GRILLS, type Grill, type GrillName, type Weather } from '../simulator/physics/grill.ts';
import { createRandom, type Random } from '../simulator/random.ts';
import type { Sensor } from '../simulator/sensor/sensor.ts';

/** One cook of the bank: what happens and what its probes are like; `dome` null = there is none. */
export type CasePlan = { plan: CookPlan; stone: Sensor; dome: Sensor | null };

export const BANK_SIZE = 66;
const FIRST_SEED = 20_417;

const NAMES = Object.keys(GRILLS) as [GrillName, ...GrillName[]]; // GRILLS is not empty
const HABITS = [
  'careful',
  'late',
  'careful',
  'eager',
  'careful',
  'never',
  'careful',
  'set',
  'careful',
  'starved',
  'careful',
] as const satisfies Person['habit'][];

/** A grill of its own: every figure within about a fifth of a named one's. */
export function ownGrill(base: Grill, random: Random): Grill {
  const about = (value: number, share: number): number => value * random.between(1 - share, 1 + share);
  return {
    ...base,
    charcoal: about(base.charcoal, 0.25),
    fire: {
      ...base.fire,
      speed: about(base.fire.speed, 0.3),
      spread: about(base.fire.spread, 0.3),
      starterPower: random.between(2000, 3200),
    },
    vents: { ...base.vents, leak: random.between(0.01, 0.06) },
    lid: random.between(12, 60),
    wall: { ...base.wall, thickness: about(base.wall.thickness, 0.2) },
    stone: { ...base.stone, thickness: about(base.stone.thickness, 0.15), gap: random.between(0.004, 0.03) },
  };
}

export const ownWeather = (random: Random): Weather => ({
  ambient: random.between(-2, 30),
  wind: random.between(0, 5) ** 1.2,
  gusts: random.between(0.2, 2),
  squalls: { perHour: 0, wind: 0 },
  rain: random.chance(0.15) ? random.between(0.3, 2) : 0,
});

/** 24 to 40 °C wide, around 245 to 300 °C; steel bakes as hard far lower (Varlamov, Glatz & Grasso 2018). */
function ownBand(name: GrillName, random: Random): [number, number] {
  const low = Math.round(name === 'steel' ? random.between(190, 222) : random.between(240, 272));
  return [low, low + Math.round(random.between(24, 40))];
}

export const ownPerson = (habit: Person['habit'], name: GrillName, random: Random): Person => ({
  habit,
  band: ownBand(name, random),
  opening: habit === 'never' ? random.pick([0.45, 0.65, 1]) : random.pick([0.65, 1, 1]),
  looksEvery: random.between(50, 160),
  reaction: random.between(8, 60),
  vague: 0,
  foresight: random.between(4, 10),
  pizzas: 2 + Math.floor(random.next() * 7),
  size: random.between(0.24, 0.32),
  grip: random.between(12, 90),
  bake: random.between(330, 500),
  turnAt: random.chance(0.85) ? random.between(160, 240) : null,
  pause: random.between(40, 420),
  waits: habit === 'careful' || random.chance(0.4),
  hasty: 0,
  peeks: random.chance(0.5) ? random.between(900, 3000) : 0,
  refuel: random.chance(0.4) ? random.between(0.4, 1) : 0,
});

/** Harsher than a good evening's: slow, coarse, wandering, spiky, silent for minutes. */
export function ownSensor(random: Random, every: number): Sensor {
  const sometimes = (probability: number, low: number, high: number): number =>
    random.chance(probability) ? random.between(low, high) : 0;
  return {
    every,
    jitter: random.between(0.01, 0.3),
    lag: random.between(1, 20),
    well: 0,
    noise: random.between(0.1, 0.7),
    wander: random.between(0, 0.6),
    quantum: random.pick([0.1, 0.25, 0.5, 1, 1]),
    bias: random.between(-1, 1),
    drift: random.between(-0.7, 0.7),
    spikes: { perHour: sometimes(0.6, 0.5, 12), size: random.between(30, 180) },
    gaps: { perHour: sometimes(0.6, 0.5, 4), longest: random.between(20, 180) },
    stuck: { perHour: sometimes(0.25, 0.3, 1), longest: random.between(20, 75) },
    faults: { perHour: sometimes(0.3, 0.3, 2), longest: random.between(8, 60) },
  };
}

/** The `i`th cook of the bank, always the same. Every other grill goes with every other habit before one repeats. */
export function bankCook(i: number): CasePlan {
  const seed = FIRST_SEED + 7 * i;
  const random = createRandom(seed).fork('bank');
  const name = NAMES[i % NAMES.length] ?? 'middling';
  const habit = HABITS[i % HABITS.length] ?? 'careful';
  const every = i % 21 === 4 ? 0.1 : random.pick([0.5, 1, 1, 2, 2, 4, 5, 10]);
  return {
    plan: {
      name: `own-${String(i + 1).padStart(2, '0')}-${name}`,
      seed,
      grill: ownGrill(GRILLS[name], random.fork('grill')),
      weather: ownWeather(random.fork('weather')),
      person: ownPerson(habit, name, random.fork('person')),
      duration: Math.round(random.between(5000, 8600)),
    },
    stone: ownSensor(random.fork('stone'), every),
    dome: i % 13 === 6 ? null : ownSensor(random.fork('dome'), Math.max(0.5, every)),
  };
}
