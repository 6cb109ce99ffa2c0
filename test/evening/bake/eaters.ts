import type { Material } from '../../../shared/evening/evening.ts';
import type { Verdict } from '../../../shared/words.ts';
import { nextTime, within, type Announced } from '../../../server/evening/bake/announced-time.ts';
import { startBake, stepBake } from '../../../server/evening/bake/bake.ts';
import { guide, wantedFor } from '../../../server/evening/bake/guide.ts';
import { isTaught, learn, type Tasted } from '../../../server/evening/bake/verdict-learning.ts';
import { halfInfiniteSeconds } from '../../../server/evening/bake/bake-speed.ts';
import { KNOT_SECONDS, shareOf, usualOf, type Fall } from '../../../server/evening/bake/usual-fall.ts';
import { createRandom, type Random } from '../../simulator/random.ts';

/**
 * An eater with a hidden wish, who judges by a physics of their own: a crust that browns by an activation energy at the
 * temperature of the contact (Zanoni, Peri & Bruno 1995: 64 kJ/mol), of which the guidance knows nothing.
 */
export type Eater = {
  /** What they want, as a factor on the browning of the cook's own time. */
  wish: number;
  /** Half the range that they call right, and the blur of its ends, ln. */
  right: number;
  blur: number;
  /** How many verdicts have nothing to do with the pizza. */
  random: number;
};

/** A grill: its band's middle, °C, the cook's own time, s, the plate, and how far a launch draws it down, °C. */
export type Grill = { celsius: number; own: number; material: Material; thicknessMm: number; fall: number };
type Dough = { launch: number; fall: number };

const EFFUSIVITY: Record<Material, number> = {
  cordierite: 1700,
  fireclay: 1350,
  steel: 13_500,
  'cast-iron': 13_000,
};
const contactC = (celsius: number, material: Material): number =>
  (EFFUSIVITY[material] * celsius + 850 * 21) / (EFFUSIVITY[material] + 850);
const browning = (celsius: number): number => Math.exp(-64_151 / (8.314 * (celsius + 273.15)));

const stoneAt = ({ launch, fall }: Dough, since: number): number =>
  launch - fall * (1 - Math.exp(-since / 15)) * Math.exp(-since / 400);

/** Browning after each second. */
function brownedBy({ material }: Grill, dough: Dough, seconds: number): number {
  let sum = 0;
  for (let t = 0.5; t < seconds; t++) sum += browning(contactC(stoneAt(dough, t), material));
  return sum;
}

/** The second at which this launch is what the eater wants. */
export function wantedSecond(grill: Grill, dough: Dough, { wish }: Eater): number {
  const need = wish * brownedBy(grill, { launch: grill.celsius, fall: grill.fall }, grill.own);
  let sum = 0;
  for (let t = 0.5; t < 4 * grill.own; t++) {
    sum += browning(contactC(stoneAt(dough, t), grill.material));
    if (sum >= need) return t;
  }
  return 4 * grill.own;
}

/** One bake as the guidance calls it: when it is called off, and what it had by its own reckoning. */
function baked(grill: Grill, dough: Dough, tasted: readonly Tasted[], falls: Fall[], noise: Random) {
  const { celsius, own } = grill;
  const launch = { celsius: dough.launch + 0.5 * noise.normal(), weight: 1 };
  let bake = startBake(
    0,
    halfInfiniteSeconds(grill),
    { reference: celsius, tolerance: 2, allowance: null, launch, usual: usualOf(falls) },
    { reference: null, tolerance: 0, allowance: null, launch: null, usual: null },
  );
  const taste = { base: 0, crust: 0, wetness: 0 };
  const lesson = learn(tasted, 'a');
  const wanted = wantedFor(taste, own, { base: lesson.ln, top: 0 });
  const first = within(wanted.base, own, isTaught(tasted, 'a'));
  const announced: Announced = {
    own,
    first,
    now: first,
    moved: 0,
    movedAt: -1e6,
    isTaught: isTaught(tasted, 'a'),
  };
  for (let t = 5; t < announced.now; t += 5) {
    bake = stepBake(bake, t, stoneAt(dough, t) + 0.5 * noise.normal(), null);
    const next = nextTime(announced, t, guide(bake, wanted).off);
    if (next === null) continue;
    announced.moved += Math.abs(next - announced.now);
    announced.now = next;
    announced.movedAt = t;
  }
  bake = stepBake(bake, announced.now, null, null);
  const fall = KNOT_SECONDS.map((t) => (t < announced.now ? shareOf(dough.launch, stoneAt(dough, t)) : null));
  return { called: announced.now, had: bake.base.had, fall };
}

function verdictOf({ right, blur, random }: Eater, over: number, dice: Random): Verdict {
  if (dice.chance(random)) return dice.pick(['pale', 'right', 'scorched']);
  const felt = over + blur * dice.normal();
  return felt < -right ? 'pale' : felt > right ? 'scorched' : 'right';
}

export const eater = (dice: Random): Eater => ({
  wish: Math.exp(dice.between(-0.35, 0.35)),
  right: dice.between(0.03, 0.1),
  blur: dice.between(0.02, 0.08),
  random: 0.2,
});

/** How far the call is from what the eater wants after so many verdicts, as a share of that. */
export function missAfter(grill: Grill, verdicts: number, seed: number): number {
  const dice = createRandom(seed);
  const who = eater(dice);
  const tasted: Tasted[] = [];
  const falls: Fall[] = [];
  const doughOf = (): Dough => ({
    launch: grill.celsius + 6 * dice.normal(),
    fall: grill.fall * Math.exp(0.1 * dice.normal()),
  });
  for (let i = 0; i < verdicts; i++) {
    const dough = doughOf();
    const { called, had, fall } = baked(grill, dough, tasted, falls, dice);
    // Nobody lifts a pizza to the second.
    const hand = Math.exp(0.02 * dice.normal());
    const over = Math.log((called * hand) / wantedSecond(grill, dough, who));
    falls.push(fall);
    tasted.push({
      eater: 'a',
      given: Math.log((had * hand) / grill.own),
      verdict: verdictOf(who, over, dice),
    });
  }
  const dough = { launch: grill.celsius, fall: grill.fall };
  const { called } = baked(grill, dough, tasted, falls, dice);
  return Math.abs(called / wantedSecond(grill, dough, who) - 1);
}

export const GRILLS: readonly Grill[] = [
  [230, 660],
  [270, 450],
  [330, 150],
  [400, 95],
].flatMap(([celsius = 0, own = 0]) => [
  { celsius, own, material: 'cordierite' as const, thicknessMm: 15, fall: 40 },
  { celsius, own, material: 'steel' as const, thicknessMm: 6, fall: 55 },
]);

export const misses = (grill: Grill, people: number, verdicts: number): number[] =>
  Array.from({ length: people }, (_, i) => missAfter(grill, verdicts, 1 + i)).sort((a, b) => a - b);

export const median = (sorted: readonly number[]): number => sorted[sorted.length >> 1] ?? Number.NaN;
