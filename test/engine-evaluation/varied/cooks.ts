import { GRILLS, type Grill, type GrillName } from '../../simulator/physics/grill.ts';
import type { Person } from '../../simulator/person/person.ts';
import { createRandom, type Random } from '../../simulator/random.ts';
import { ownGrill, ownPerson, ownSensor, ownWeather, type CasePlan } from '../cooks.ts';
import { ASPECTS, type Half } from './structures.ts';

/** Seeds of the halves are far apart. */
const FIRST_SEED: Record<Half, number> = { tune: 310_007, held: 720_011 };
const SIZES = ['middling', 'thick', 'small', 'twoZone'] as const satisfies GrillName[];

/** A grill made up of what its half allows. */
function variedGrill(half: Half, name: GrillName, random: Random): Grill {
  const from = ASPECTS[half];
  const base = ownGrill(GRILLS[name], random.fork('sizes'));
  const within = ([low, high]: readonly [number, number]): number => random.between(low, high);
  const material = random.pick(from.materials);
  const isSteel = material.k > 10;
  return {
    ...base,
    fire: { ...base.fire, ...random.pick(from.fires)(random.fork('fire')) },
    stone: {
      ...base.stone,
      material,
      thickness: isSteel ? random.between(0.005, 0.009) : within(from.thickness),
    },
    structure: {
      stoneLayers: random.pick(from.stoneLayers),
      wall: random.pick(from.walls),
      convection: within(random.pick(from.convection)),
      plume: within(from.plume),
      gasCapacity: within(from.gasCapacity),
      gapFlow: within(random.pick(from.gapFlow)),
      shine: random.pick(from.shine),
      domeGasShare: within(random.pick(from.domeGasShare)),
      probe: random.pick(from.probes)(random.fork('probe')),
    },
  };
}

function variedPerson(half: Half, habit: Person['habit'], grill: Grill, random: Random): Person {
  const name: GrillName = grill.stone.material.k > 10 ? 'steel' : 'middling';
  return {
    ...ownPerson(habit, name, random),
    vague: random.between(...ASPECTS[half].vague),
    hasty: random.chance(0.2) ? random.between(2, 12) : 0,
  };
}

type Probes = Pick<CasePlan, 'stone' | 'dome'>;

function variedProbes(half: Half, random: Random): Probes {
  const every = random.pick([0.5, 1, 1, 2, 2, 4, 5, 10]);
  const well = random.between(...random.pick(ASPECTS[half].domeWell));
  return {
    stone: ownSensor(random.fork('stone'), every),
    dome: { ...ownSensor(random.fork('dome'), every), well },
  };
}

/** One evening on a given grill. */
function evening(
  half: Half,
  name: string,
  grill: Grill,
  probes: Probes,
  habit: Person['habit'],
  seed: number,
): CasePlan {
  const random = createRandom(seed).fork('evening');
  return {
    plan: {
      name,
      seed,
      grill: { ...grill, charcoal: grill.charcoal * random.between(0.9, 1.1) },
      weather: {
        ...ownWeather(random.fork('weather')),
        squalls: { perHour: random.between(...ASPECTS[half].squalls), wind: random.between(3, 8) },
      },
      person: variedPerson(half, habit, grill, random.fork('person')),
      duration: Math.round(random.between(5000, 8600)),
    },
    ...probes,
  };
}

/** The `i`th cook of a half, each on a grill of its own. */
export function variedCook(half: Half, i: number): CasePlan {
  const seed = FIRST_SEED[half] + 7919 * i;
  const random = createRandom(seed).fork('varied');
  const grill = variedGrill(half, SIZES[i % SIZES.length] ?? 'middling', random.fork('grill'));
  const { habits } = ASPECTS[half];
  const name = `${half}-${String(i + 1).padStart(2, '0')}`;
  return evening(half, name, grill, variedProbes(half, random), habits[i % habits.length] ?? 'careful', seed);
}

/**
 * The cooks of the half's `i`th grill, oldest first: the same grill with the same probes, another day and evening each.
 * @param steady all of them by a person who holds the dome with a patient hand
 */
export function sameGrill(half: Half, i: number, count: number, steady: boolean): CasePlan[] {
  const seed = FIRST_SEED[half] + 104_729 * (i + 1);
  const random = createRandom(seed).fork('same grill');
  const grill = variedGrill(half, SIZES[i % SIZES.length] ?? 'middling', random.fork('grill'));
  const probes = variedProbes(half, random);
  const { habits } = ASPECTS[half];
  const habit = (k: number): Person['habit'] =>
    steady ? 'steady' : (habits[(i + k) % habits.length] ?? 'careful');
  return Array.from({ length: count }, (_, k) =>
    evening(half, `${half}-grill-${i + 1}-${k + 1}`, grill, probes, habit(k), seed + 7919 * (k + 1)),
  );
}
