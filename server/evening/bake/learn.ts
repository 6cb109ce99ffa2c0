import type { Verdict5 } from '../../../shared/evening.ts';
import type { Verdict } from '../../../shared/words.ts';

/** One judged base or top: the dose it had and what was wanted for its taste before any learning, s at the reference. */
export type Tasted = { eater: string; dose: number; wanted: number; verdict: Verdict | Verdict5 };

/**
 * What the verdicts say. `seconds` is to be added to what the taste wants (less than 0: take it off sooner), `error` one
 * standard deviation; `pizzas` is how many verdicts speak, `words` how the page shows it.
 */
export type Lesson = { seconds: number; error: number; pizzas: number; words: string };

/**
 * How verdicts come about, s (our own guesses, held against simulated people in test/bench/learning.bench.ts): the
 * hidden taste lies `prior` around the start; half of the range that may count as right; how blurred its ends are; how
 * often a verdict has nothing to do with the pizza.
 */
const BELIEF = { prior: 25, right: [10, 20, 32], blur: 10, random: 0.25 } as const;
/** Eaters differ from their household by about this, s. */
const EATERS_APART = 25;

const STEP = 2.5;
const HALF = 72;
/** Shifts of the hidden taste that are weighed, s: ±180, with each width of "right". */
const GRID = Array.from({ length: 2 * HALF + 1 }, (_, i) => (i - HALF) * STEP).flatMap((shift) =>
  BELIEF.right.map((right) => [shift, right] as const),
);

/** Logistic curve for the blurred ends: near enough to a normal one. */
const below = (x: number): number => 1 / (1 + Math.exp((-1.7 * x) / BELIEF.blur));

/** Chance of this verdict where the pizza had `over` s more than it should; pale is anything on that side. */
function likelihood(verdict: Tasted['verdict'], over: number, right: number): number {
  const pale = below(-right - over);
  const dark = below(over - right);
  const chance = {
    right: 1 - pale - dark,
    pale,
    scorched: dark,
    'a-little-pale': pale - below(-3 * right - over),
    'a-little-dark': dark - below(over - 3 * right),
  }[verdict];
  return (1 - BELIEF.random) * Math.max(0, chance) + BELIEF.random / 3;
}

type Spread = { mean: number; sd: number };

/**
 * Posterior of the shift on the grid, from a normal prior: p(δ, w) ∝ p₀(δ)·Π p(verdict | dose − wanted − δ, w), summed
 * over how wide a person's "right" may be, w, each equally likely at first.
 */
function posterior(tasted: readonly Tasted[], prior: Spread): Spread {
  const logs = GRID.map(([shift, right]) => {
    const start = -((shift - prior.mean) ** 2) / (2 * prior.sd ** 2);
    return tasted.reduce(
      (sum, { dose, wanted, verdict }) => sum + Math.log(likelihood(verdict, dose - wanted - shift, right)),
      start,
    );
  });
  const top = Math.max(...logs);
  const weights = logs.map((each) => Math.exp(each - top));
  const whole = weights.reduce((sum, each) => sum + each, 0);
  const moment = (of: (shift: number) => number): number =>
    GRID.reduce((sum, [shift], i) => sum + of(shift) * (weights[i] ?? 0), 0) / whole;
  const mean = moment((shift) => shift);
  return { mean, sd: Math.sqrt(moment((shift) => (shift - mean) ** 2)) };
}

function words(pizzas: number, seconds: number): string {
  const rounded = Math.round(seconds / 5) * 5;
  if (pizzas === 0) return 'No verdicts yet: the time is common practice.';
  const who = pizzas === 1 ? '1 of your pizzas says' : `${pizzas} of your pizzas say`;
  if (rounded === 0) return `${who}: as it is.`;
  return `${who}: ${Math.abs(rounded)} s ${rounded < 0 ? 'less' : 'more'}.`;
}

/**
 * What the verdicts teach of an eater: their own ones, starting from what the others at the table say, starting from
 * nothing. Pulled towards the start while verdicts are few; a few odd ones move it little. A pure function of the
 * verdicts: to forget one, leave it out.
 */
export function learn(tasted: readonly Tasted[], eater: string): Lesson {
  const own = tasted.filter((each) => each.eater === eater);
  const others = tasted.filter((each) => each.eater !== eater);
  const table = posterior(others, { mean: 0, sd: BELIEF.prior });
  const start = others.length
    ? { mean: table.mean, sd: Math.min(BELIEF.prior, Math.hypot(table.sd, EATERS_APART)) }
    : { mean: 0, sd: BELIEF.prior };
  const { mean, sd } = posterior(own, start);
  return { seconds: mean, error: sd, pizzas: tasted.length, words: words(tasted.length, mean) };
}

/** Without what an eater said; all of it where no eater is named. */
export const forget = (tasted: readonly Tasted[], eater?: string): Tasted[] =>
  eater === undefined ? [] : tasted.filter((each) => each.eater !== eater);
