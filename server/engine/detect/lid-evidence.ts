import type { Bins } from '../estimate/reading-bins.ts';
import { cholesky, dot, solve } from '../heat/linear.ts';

/**
 * How much the dome speaks for a lid that went up at a given moment: a matched filter. Readings about that moment are fitted
 * by a straight line and by the same line with the dip of a lid, as a probe of this or that lag shows it; the dip's size over
 * its standard error is the evidence (generalised likelihood ratio; Kay, Fundamentals of Statistical Signal Processing II:
 * Detection Theory (1998), ch. 7). Times s, temperatures °C.
 */
type Dip = { at: number; errors: number; celsius: number };

/** What is fitted, before and after the moment. */
const FITTED_SECONDS = { before: 60, after: 60 };
/** A lid is up for about so long; the dome comes back with so long a time constant. */
const LID_UP_SECONDS = 16;
const COMES_BACK_TAU_SECONDS = 150;
/** Lags of dome probes: bare, in a sheath, in a well, a dial. */
const LAGS_SECONDS = [4, 20, 50, 100];
/** Neither side of the moment is judged by fewer bins. */
const MIN_BINS = 4;
/** Least variance of a bin, °C². */
const MIN_VARIANCE = 0.01;

/** What a probe of this lag shows of a dip of 1 °C at its deepest, a value a second. */
function templateOf(lag: number): readonly number[] {
  const shown: number[] = [];
  let felt = 0;
  let now = 0;
  for (let s = 0; s <= FITTED_SECONDS.after + 1; s++) {
    felt = s < LID_UP_SECONDS ? felt + 1 / LID_UP_SECONDS : felt * Math.exp(-1 / COMES_BACK_TAU_SECONDS);
    now += (felt - now) / lag;
    shown.push(-now);
  }
  const deepest = -Math.min(...shown);
  return shown.map((value) => value / deepest);
}

const TEMPLATES = LAGS_SECONDS.map(templateOf);

/** The dip of a lid at `at`, by the lag that shows it best; null where too little was read about that time. */
function dipAt(bins: Bins, at: number): Dip | null {
  const times: number[] = [];
  const celsius: number[] = [];
  for (const [i, t] of bins.t.entries()) {
    if (t < at - FITTED_SECONDS.before || t > at + FITTED_SECONDS.after) continue;
    times.push(t - at);
    celsius.push(bins.celsius[i] ?? 0);
  }
  const after = times.filter((t) => t > 0).length;
  if (after < MIN_BINS || times.length - after < MIN_BINS) return null;
  const level = celsius[0] ?? 0;
  const y = celsius.map((value) => value - level);
  const ones = times.map(() => 1);
  const line = times.map((t) => t / FITTED_SECONDS.after);
  let best: Dip = { at, errors: -Infinity, celsius: 0 };
  for (const template of TEMPLATES) {
    const dip = times.map((t) => (t > 0 ? (template[Math.round(t)] ?? 0) : 0));
    const columns = [ones, line, dip];
    const G = cholesky(columns.map((a) => columns.map((b) => dot(a, b))));
    const moments = columns.map((column) => dot(column, y));
    const found = solve(G, moments);
    const rest = dot(y, y) - dot(found, moments);
    const variance = Math.max(0, rest) / (times.length - columns.length) + MIN_VARIANCE;
    const size = found[2] ?? 0;
    const errors = size / Math.sqrt(variance * (solve(G, [0, 0, 1])[2] ?? 1));
    if (errors > best.errors) best = { at, errors, celsius: size };
  }
  return best;
}

/** Moments are looked at so far apart; a dip counts at its clearest, with none clearer so near. */
const APART_SECONDS = 5;
const CLEAREST_WITHIN_SECONDS = 30;

/** What is read so long after a moment is needed to judge it. */
export const JUDGED_AFTER_SECONDS = FITTED_SECONDS.after + CLEAREST_WITHIN_SECONDS;

/**
 * So many times likelier is what the dome did if a lid went up than if none did, (errors/even)^power, within limits; a
 * dip that is no deeper than `shallow` is as good as none. On 120 cooks of the half to tune on, 755 openings and 24,000 half
 * minutes without: from 0.12 below 2 errors, by 0.8 at 5, 2.4 at 7, 5 at 12, 19 at 17, to 250 above 20.
 */
export const LID_LIKELIHOOD = { even: 5, power: 2.4, least: 0.12, most: 250, shallow: 2 };
/**
 * The same by how deep a dip is beside those of the lids before it: of 687 openings there, 4 in a hundred are less than 0.3 of
 * the usual and 90 more than 0.5; of 1095 dips that were none, 70 and 11.
 */
export const DEPTH_LIKELIHOOD = { even: 0.4, power: 3, least: 0.03, most: 6 };

const within = (ratio: number, { least, most }: { least: number; most: number }): number =>
  Math.max(least, Math.min(most, ratio));

function ratioOf({ errors, celsius }: Dip, usual: number | null): number {
  const { even, power, shallow } = LID_LIKELIHOOD;
  if (celsius < shallow || errors <= 0) return LID_LIKELIHOOD.least;
  const byShape = within((errors / even) ** power, LID_LIKELIHOOD);
  if (usual === null) return byShape;
  const byDepth = within(
    (celsius / usual / DEPTH_LIKELIHOOD.even) ** DEPTH_LIKELIHOOD.power,
    DEPTH_LIKELIHOOD,
  );
  return within(byShape * byDepth, LID_LIKELIHOOD);
}

/** What the dome says of a lid between two moments: when it went up, if it did, how many times likelier that makes it, and how deep the dip is, °C. */
export type LidEvidence = { at: number; ratio: number; celsius: number };

/** @param usual how deep the dip of a lid is on this grill; null where that is not known */
export function lidEvidence(bins: Bins, from: number, to: number, usual: number | null): LidEvidence {
  let clearest: Dip | null = null;
  let beside = -Infinity;
  let isKnown = true;
  for (let at = from - CLEAREST_WITHIN_SECONDS; at < to + CLEAREST_WITHIN_SECONDS; at += APART_SECONDS) {
    const dip = dipAt(bins, at);
    const isWithin = at >= from && at < to;
    if (!dip) {
      if (isWithin) isKnown = false;
      continue;
    }
    if (!isWithin) beside = Math.max(beside, dip.errors);
    else if (!clearest || dip.errors > clearest.errors) clearest = dip;
  }
  if (!clearest || !isKnown) return { at: (from + to) / 2, ratio: 1, celsius: 0 };
  const { at, celsius } = clearest;
  const ratio = beside > clearest.errors ? LID_LIKELIHOOD.least : ratioOf(clearest, usual);
  return { at, ratio, celsius };
}

/** From so many times likelier on, a lid is taken for one, and its dip for what is usual. */
const SURE_RATIO = 60;
/** Weight of the last lid in what is usual. */
const NEWEST_WEIGHT = 0.4;

/** What is usual after a lid that was noticed, or that is sure. Its geometric mean: depths differ by factors. */
export function usualAfter(
  usual: number | null,
  { ratio, celsius }: LidEvidence,
  isNoticed: boolean,
): number | null {
  if (!(isNoticed || ratio > SURE_RATIO) || celsius < LID_LIKELIHOOD.shallow) return usual;
  return usual === null ? celsius : usual ** (1 - NEWEST_WEIGHT) * celsius ** NEWEST_WEIGHT;
}
