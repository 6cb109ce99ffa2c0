import { normalCdf } from '../../../shared/statistics/normal.ts';
import { driveOf, stepHeat, stepOn, type Tracked } from './grill-fit.ts';
import { PIZZA_FLAG, STEP_SECONDS, TWO_MINUTES } from './heat-history.ts';
import { copyOfCovariance } from './kalman.ts';
import { copyOfHeat, type Parameters } from './model.ts';

/**
 * Where nobody measures the stone, nobody sees what lies on it. Followed side by side, each with its probability, are the
 * hypotheses of what happened since the last look: a pizza at this or that opening of the lid, turned or taken off, or none at
 * all. A Gaussian sum filter with pruning and merging (Alspach & Sorenson, IEEE Trans. Automatic Control 17 (1972)
 * 439–448). Times s, temperatures °C. Plain JSON.
 */
export type Hypothesis = Tracked & {
  probability: number;
  /** The pizza that lies there; null: none. */
  launchedAt: number | null;
  /** An opening of the lid since then that was not its off; null: none. */
  turnedAt: number | null;
  /** Pizzas that came and went since the last look. */
  spells: Spell[];
  /** What the surface moved in each of the last steps, °C. */
  moves: number[];
};

/** A pizza lay on the stone, from and to. */
type Spell = { from: number; to: number };

/** What all hypotheses have in common during a step. */
export type Common = { p: Parameters; dome: number; ground: number; hands: number };

export const bareHypothesis = ({ heat, P }: Tracked, moves: readonly number[]): Hypothesis => ({
  heat: copyOfHeat(heat),
  P: copyOfCovariance(P),
  probability: 1,
  launchedAt: null,
  turnedAt: null,
  spells: [],
  moves: [...moves],
});

const copyOf = (hypothesis: Hypothesis): Hypothesis => ({
  ...hypothesis,
  heat: copyOfHeat(hypothesis.heat),
  P: copyOfCovariance(hypothesis.P),
  spells: [...hypothesis.spells],
  moves: [...hypothesis.moves],
});

/** One step of all, in place. */
export function stepAll(hypotheses: readonly Hypothesis[], common: Common): void {
  for (const hypothesis of hypotheses) {
    const before = hypothesis.heat.surface;
    stepHypothesis(hypothesis, common);
    hypothesis.moves.push(hypothesis.heat.surface - before);
    if (hypothesis.moves.length > TWO_MINUTES) hypothesis.moves.shift();
  }
}

function stepHypothesis(hypothesis: Hypothesis, { p, dome, ground, hands }: Common): void {
  const h = (hands & ~PIZZA_FLAG) | (hypothesis.launchedAt === null ? 0 : PIZZA_FLAG);
  stepOn(hypothesis, p, driveOf(dome, h, ground), h);
}

/** What a hypothesis becomes where a pizza went on or came off at `at`, `late` s ago: corrected by what it would have gone through instead. */
function changed(
  hypothesis: Hypothesis,
  launchedAt: number | null,
  at: number,
  late: number,
  common: Common,
): Hypothesis {
  const now = copyOf(hypothesis);
  if (hypothesis.launchedAt !== null) now.spells.push({ from: hypothesis.launchedAt, to: at });
  now.launchedAt = launchedAt;
  now.turnedAt = null;
  const asItWent = copyOfHeat(hypothesis.heat);
  const { p, dome, ground, hands } = common;
  const bare = hands & ~PIZZA_FLAG;
  const was = hypothesis.launchedAt === null ? bare : bare | PIZZA_FLAG;
  for (let s = 0; s < late; s += STEP_SECONDS) {
    stepHypothesis(now, common);
    stepHeat(asItWent, p, driveOf(dome, was, ground));
  }
  now.heat.surface += hypothesis.heat.surface - asItWent.surface;
  now.heat.bulk += hypothesis.heat.bulk - asItWent.bulk;
  now.heat.wall = hypothesis.heat.wall;
  now.heat.base = hypothesis.heat.base;
  return now;
}

/**
 * How likely what was seen is, hypothesis by hypothesis, if no lid went up (`stays`), if one did and the pizza stayed or none
 * came (`opens`), and if one went on or came off (`changes`): all by the same measure.
 */
export type Odds = { stays: number; opens: number; changes: number };

/** What may have happened at `at`, `late` s ago. */
type Chance = { at: number; late: number; of: (hypothesis: Hypothesis) => Odds };

/** A lid so soon after a launch, s, is the launch's own. */
export const LAUNCH_LID = 60;

/** Each hypothesis may have gone on as it was, or changed. */
export function branch(hypotheses: readonly Hypothesis[], chance: Chance, common: Common): Hypothesis[] {
  const all = hypotheses.map((hypothesis) => ({ hypothesis, odds: chance.of(hypothesis) }));
  const sum = total(all.map(({ hypothesis, odds }) => hypothesis.probability * total(Object.values(odds))));
  const found: Hypothesis[] = [];
  for (const { hypothesis, odds } of all) {
    const { launchedAt, probability } = hypothesis;
    const changes = (odds.changes / sum) * probability;
    if (changes > MIN_PROBABILITY) {
      const other = changed(
        hypothesis,
        launchedAt === null ? chance.at : null,
        chance.at,
        chance.late,
        common,
      );
      other.probability = changes;
      found.push(other);
    }
    hypothesis.probability = ((odds.stays + odds.opens) / sum) * probability;
    // The lid went up over a pizza that stayed: it was turned then.
    if (odds.opens > odds.stays && launchedAt !== null && chance.at - launchedAt > LAUNCH_LID)
      hypothesis.turnedAt ??= chance.at;
    found.push(hypothesis);
  }
  return pruned(found);
}

/** So many hypotheses are followed, none less probable than this; such as are no farther apart, °C and s, are the same. */
const MAX_HYPOTHESES = 14;
const MIN_PROBABILITY = 0.004;
const MERGED_WITHIN = { celsius: 1.5, seconds: 75 };

const isSame = (a: Hypothesis, b: Hypothesis): boolean =>
  (a.launchedAt === null) === (b.launchedAt === null) &&
  (a.turnedAt === null) === (b.turnedAt === null) &&
  Math.abs((a.launchedAt ?? 0) - (b.launchedAt ?? 0)) < MERGED_WITHIN.seconds &&
  Math.abs(a.heat.surface - b.heat.surface) < MERGED_WITHIN.celsius &&
  Math.abs(a.heat.bulk - b.heat.bulk) < MERGED_WITHIN.celsius;

function pruned(hypotheses: readonly Hypothesis[]): Hypothesis[] {
  const found: Hypothesis[] = [];
  let sum = 0;
  for (const hypothesis of [...hypotheses].sort((a, b) => b.probability - a.probability)) {
    const same = found.find((other) => isSame(other, hypothesis));
    if (
      !same &&
      (found.length >= MAX_HYPOTHESES || (hypothesis.probability < MIN_PROBABILITY && found.length > 0))
    )
      continue;
    sum += hypothesis.probability;
    if (same) same.probability += hypothesis.probability;
    else found.push(hypothesis);
  }
  for (const hypothesis of found) hypothesis.probability /= sum;
  return found;
}

/** A pizza that still lies there when somebody looks at the stone has just come off unseen, if at all. */
const CAME_OFF_PROBABILITY = 0.1;

/** How far a look is from a hypothesis, in standard errors, with the variance of the parameters and of the look. */
export const errorsOff = ({ heat, P }: Tracked, celsius: number, variance: number): number =>
  Math.abs(celsius - heat.surface) / Math.sqrt(P.ss + variance);

const hadPizza = ({ launchedAt, spells }: Hypothesis): boolean => launchedAt !== null || spells.length > 0;

/** What a look made of the hypotheses: the one to go on from, and the best that says otherwise of pizzas, with its probability. */
export type Weighed = { found: Hypothesis; other: Hypothesis | null };

/**
 * Somebody read `celsius` off the stone, which lay free then. Whether there was a pizza is decided first, by all hypotheses
 * with one against those bare, since its times are many. @returns null where there are no hypotheses
 */
export function weigh(hypotheses: readonly Hypothesis[], celsius: number, variance: number): Weighed | null {
  const baked = { sum: 0, best: 0, hypothesis: null as Hypothesis | null };
  const bare = { sum: 0, best: 0, hypothesis: null as Hypothesis | null };
  for (const hypothesis of hypotheses) {
    const side = hadPizza(hypothesis) ? baked : bare;
    const prior = hypothesis.probability * (hypothesis.launchedAt === null ? 1 : CAME_OFF_PROBABILITY);
    const likelihood =
      (prior * Math.exp(-0.5 * errorsOff(hypothesis, celsius, variance) ** 2)) /
      Math.sqrt(hypothesis.P.ss + variance);
    side.sum += likelihood;
    if (side.hypothesis !== null && likelihood <= side.best) continue;
    side.best = likelihood;
    side.hypothesis = hypothesis;
  }
  const [first, second] = baked.sum > bare.sum ? [baked, bare] : [bare, baked];
  const found = first.hypothesis ?? second.hypothesis;
  if (!found) return null;
  const share = second.sum / (first.sum + second.sum);
  if (!second.hypothesis || found === second.hypothesis || !(share > MIN_PROBABILITY))
    return { found, other: null };
  const other = copyOf(second.hypothesis);
  other.probability = share;
  return { found, other };
}

/** How probable it is that a pizza lies there. */
export function coveredOf(hypotheses: readonly Hypothesis[]): number {
  let sum = 0;
  for (const { probability, launchedAt } of hypotheses) if (launchedAt !== null) sum += probability;
  return sum;
}

export const likeliest = (hypotheses: readonly Hypothesis[], isCovered: boolean): Hypothesis | null => {
  let best: Hypothesis | null = null;
  for (const hypothesis of hypotheses)
    if ((hypothesis.launchedAt !== null) === isCovered && hypothesis.probability > (best?.probability ?? 0))
      best = hypothesis;
  return best;
};

/**
 * The stone as it is most probably: its heat and covariance; what the surface moved in the 2 min before now, and moves in the
 * minute before and the minute after, °C; °C/min in the last minute.
 */
type Likely = Tracked & { change: number; around: number; perMinute: number };

/** Of a stone that lies free less probably than this, what it is under the pizza. */
const MIN_FREE_PROBABILITY = 0.05;

/**
 * What a person finds who looks at the stone: it lies free then. There are two humps, of a stone that had no pizza since the
 * last look and of one that had: the higher is taken, since nothing lies between them; the variance, about that, is of both.
 */
export function likelyStone(hypotheses: readonly Hypothesis[]): Likely | null {
  const isCovered = coveredOf(hypotheses) > 1 - MIN_FREE_PROBABILITY;
  const all = hypotheses.filter(({ launchedAt }) => (launchedAt !== null) === isCovered);
  const had = all.filter(hadPizza);
  const group = sumOf(had) * 2 > sumOf(all) ? had : all.filter((hypothesis) => !hadPizza(hypothesis));
  const [first] = group;
  if (!first) return null;
  const mean = (of: (hypothesis: Hypothesis) => number): number => meanOf(group, of);
  const heat = copyOfHeat(first.heat);
  heat.surface = mean((hypothesis) => hypothesis.heat.surface);
  heat.bulk = mean((hypothesis) => hypothesis.heat.bulk);
  heat.extra = mean((hypothesis) => hypothesis.heat.extra);
  const P = copyOfCovariance(first.P);
  P.ss = meanOf(all, (other) => other.P.ss + (other.heat.surface - heat.surface) ** 2);
  P.bb = meanOf(all, (other) => other.P.bb + (other.heat.bulk - heat.bulk) ** 2);
  P.sb = meanOf(
    all,
    (other) => other.P.sb + (other.heat.surface - heat.surface) * (other.heat.bulk - heat.bulk),
  );
  const lately = (moves: readonly number[]): readonly number[] => moves.slice(-TWO_MINUTES / 2);
  return {
    heat,
    P,
    change: mean(({ moves }) => total(moves) * (TWO_MINUTES / Math.max(1, moves.length))),
    around: mean(
      ({ moves }) => total(lately(moves)) + (TWO_MINUTES - lately(moves).length) * (moves.at(-1) ?? 0),
    ),
    perMinute: mean(
      ({ moves }) => (total(lately(moves)) * 60) / STEP_SECONDS / Math.max(1, lately(moves).length),
    ),
  };
}

const sumOf = (hypotheses: readonly Hypothesis[]): number =>
  hypotheses.reduce((sum, { probability }) => sum + probability, 0);

function meanOf(hypotheses: readonly Hypothesis[], of: (hypothesis: Hypothesis) => number): number {
  let sum = 0;
  for (const hypothesis of hypotheses) sum += hypothesis.probability * of(hypothesis);
  return sum / sumOf(hypotheses);
}

export const total = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0);

/** How probable it is that the stone lies free below `celsius`. @param shared variance of what all hypotheses share @param scale of all variances */
export function freeBelow(
  hypotheses: readonly Hypothesis[],
  celsius: number,
  shared: number,
  scale: number,
): number {
  let sum = 0;
  for (const { probability, launchedAt, heat, P } of hypotheses)
    if (launchedAt === null)
      sum += probability * normalCdf((celsius - heat.surface) / Math.sqrt(scale * (P.ss + shared)));
  return sum;
}
