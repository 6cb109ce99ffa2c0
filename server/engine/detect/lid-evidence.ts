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

function ratioOf({ errors, celsius }: Dip): number {
  const { even, power, least, most, shallow } = LID_LIKELIHOOD;
  if (celsius < shallow || errors <= 0) return least;
  return Math.max(least, Math.min(most, (errors / even) ** power));
}

/** What the dome says of a lid between two moments: when it went up, if it did, and how many times likelier that makes it. */
export type LidEvidence = { at: number; ratio: number };

export function lidEvidence(bins: Bins, from: number, to: number): LidEvidence {
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
  const middle = (from + to) / 2;
  if (!clearest || !isKnown) return { at: middle, ratio: 1 };
  if (beside > clearest.errors) return { at: middle, ratio: LID_LIKELIHOOD.least };
  return { at: clearest.at, ratio: ratioOf(clearest) };
}
