import type { Verdict5 } from '../../../shared/evening/evening.ts';
import type { Lesson } from '../../../shared/evening/plan.ts';
import type { Verdict } from '../../../shared/words.ts';

/**
 * One judged base or top. `given` is ln of what it had over what its taste wants before any learning, so that a verdict
 * counts alike at every temperature, plate and time.
 */
export type Tasted = { eater: string; given: number; verdict: Verdict | Verdict5 };

/**
 * How verdicts come about, ln (our own guesses, held against simulated eaters in test/evening/bake/eaters.ts): how far
 * the hidden wish lies from the start; half of the range that may count as right; how blurred its ends are; how often a
 * verdict has nothing to do with the pizza.
 */
const VERDICT_MODEL = { prior: 0.22, right: [0.03, 0.06, 0.1], blur: 0.05, random: 0.2 } as const;
/** Eaters differ from their household by about this, ln. */
const EATER_SPREAD_LN = 0.12;

const GRID_STEP_LN = 0.0125;
const GRID_HALF_COUNT = 64;
/** Shifts of the hidden wish that are weighed, ln: ±0.8 (a factor of 2.2), with each width of "right". */
const GRID = Array.from(
  { length: 2 * GRID_HALF_COUNT + 1 },
  (_, i) => (i - GRID_HALF_COUNT) * GRID_STEP_LN,
).flatMap((shift) => VERDICT_MODEL.right.map((right) => [shift, right] as const));

/** Logistic curve for the blurred ends: near enough to a normal one. */
const below = (x: number): number => 1 / (1 + Math.exp((-1.7 * x) / VERDICT_MODEL.blur));

/** Chance of this verdict where the pizza had `over` more than it should, ln; pale is anything on that side. */
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
  return (1 - VERDICT_MODEL.random) * Math.max(0, chance) + VERDICT_MODEL.random / 3;
}

type Spread = { mean: number; sd: number };

/** Log of the belief on the grid: p(δ, w) ∝ p₀(δ)·Π p(verdict | given − δ, w), each width equally likely at first. */
class Belief {
  private readonly logs: number[];

  constructor(prior: Spread) {
    this.logs = GRID.map(([shift]) => -((shift - prior.mean) ** 2) / (2 * prior.sd ** 2));
  }

  take({ given, verdict }: Tasted): void {
    GRID.forEach(([shift, right], i) => {
      this.logs[i] = (this.logs[i] ?? 0) + Math.log(likelihood(verdict, given - shift, right));
    });
  }

  spread(): Spread {
    const top = Math.max(...this.logs);
    const weights = this.logs.map((each) => Math.exp(each - top));
    const whole = weights.reduce((sum, each) => sum + each, 0);
    const moment = (of: (shift: number) => number): number =>
      GRID.reduce((sum, [shift], i) => sum + of(shift) * (weights[i] ?? 0), 0) / whole;
    const mean = moment((shift) => shift);
    return { mean, sd: Math.sqrt(moment((shift) => (shift - mean) ** 2)) };
  }
}

const IS_PALE: readonly Tasted['verdict'][] = ['pale', 'a-little-pale'];

/**
 * A verdict never moves the time against its own sense: pale only up, dark only down, and right only as far as to where
 * the narrowest "right" begins about what it had, so that what was called right is called again.
 */
function sensible(before: number, mean: number, { given, verdict }: Tasted): number {
  if (verdict === 'right') {
    const nearest = Math.max(
      given - VERDICT_MODEL.right[0],
      Math.min(given + VERDICT_MODEL.right[0], before),
    );
    return Math.max(Math.min(before, nearest), Math.min(Math.max(before, nearest), mean));
  }
  return IS_PALE.includes(verdict) ? Math.max(before, mean) : Math.min(before, mean);
}

/** Goes through verdicts, oldest first. */
function update(tasted: readonly Tasted[], prior: Spread): Spread {
  const belief = new Belief(prior);
  let at = prior;
  for (const each of tasted) {
    belief.take(each);
    const { mean, sd } = belief.spread();
    at = { mean: sensible(at.mean, mean, each), sd };
  }
  return at;
}

const verdicts = (n: number): string => `${n} ${n === 1 ? 'verdict' : 'verdicts'}`;

/** Whose verdicts speak: the eater's, others' at the table, or both. An eater without a name is nobody in particular. */
function whose(own: number, others: number, eater: string): string {
  const of = eater ? ` of ${eater}` : '';
  if (others === 0) return `${verdicts(own)}${of}`;
  if (own === 0) return `${verdicts(others)} of others, none${of} yet`;
  return `${verdicts(own)}${of} and ${others} of others`;
}

function words({ ln, pizzas, own }: Omit<Lesson, 'words'>, eater: string): string {
  const percent = Math.round(100 * (Math.exp(ln) - 1));
  if (pizzas === 0) return 'No verdicts yet: the time is your own.';
  const what =
    percent === 0 ? 'the time stays' : `${Math.abs(percent)} % ${percent < 0 ? 'shorter' : 'longer'}`;
  return `${whose(own, pizzas - own, eater)}: ${what}.`;
}

/**
 * What the verdicts teach of an eater: their own ones, starting from what the others at the table say, starting from
 * nothing. Pulled towards the start while verdicts are few; a few odd ones move it little. A pure function of the
 * verdicts, oldest first: to forget one, leave it out.
 */
export function learn(tasted: readonly Tasted[], eater: string): Lesson {
  const own = tasted.filter((each) => each.eater === eater);
  const others = tasted.filter((each) => each.eater !== eater);
  const none = { mean: 0, sd: VERDICT_MODEL.prior };
  const table = update(others, none);
  const start = others.length
    ? { mean: table.mean, sd: Math.min(VERDICT_MODEL.prior, Math.hypot(table.sd, EATER_SPREAD_LN)) }
    : none;
  const { mean, sd } = update(own, start);
  const lesson = { ln: mean, error: sd, pizzas: tasted.length, own: own.length };
  return { ...lesson, words: words(lesson, eater) };
}

/** From so many verdicts of an eater on, their times may move further. */
const TAUGHT_FROM_VERDICTS = 3;

export const isTaught = (tasted: readonly Tasted[], eater: string): boolean =>
  tasted.filter((each) => each.eater === eater).length >= TAUGHT_FROM_VERDICTS;
