import type { CookDetail } from '../../../shared/api/api.ts';
import type { Unit } from '../../../shared/units.ts';
import { formatDifference } from '../../lib/format.ts';

/** Why one of several cooks went better, in the figures of each against its own band. Pure. */

type Compared = {
  cook: Pick<CookDetail, 'marks' | 'run' | 'targets'>;
  /** s and °C, in time order; where 0 lies does not matter, if the cook's marks are moved with it. */
  stone: readonly (readonly [t: number, celsius: number])[];
};
/** Times s, degrees °C; null where the cook does not tell. */
export type CookFigures = {
  /** From the fire lit to the stone in its band. */
  toBand: number | null;
  /** How far the stone ran over its band before the first launch; 0 where it did not. */
  over: number | null;
  /** Time in the band, of the time from when it was first there to the last pizza off, or the end. */
  inBand: { seconds: number; of: number } | null;
  /** Pizzas that went onto a stone in its band, of those whose stone is known. */
  launches: { inBand: number; of: number } | null;
};

/** A stone that is looked at now and then does not tell for how long it was in its band: a gap up to this counts, s. */
const MAX_GAP_SECONDS = 300;
/** So much of the time must be known. */
const KNOWN_SHARE = 0.8;
/** Nearer than this to the band is in it, °C. */
const NEAR_BAND_CELSIUS = 1;

/** The share of a straight stretch of curve that lies in a band. */
function shareInside(a: number, b: number, [low, high]: readonly [number, number]): number {
  if (a === b) return a >= low && a <= high ? 1 : 0;
  const [bottom, top] = [Math.min(a, b), Math.max(a, b)];
  return Math.max(0, Math.min(top, high) - Math.max(bottom, low)) / (top - bottom);
}

function timeInBand(
  stone: Compared['stone'],
  band: readonly [number, number],
  from: number,
  to: number,
): CookFigures['inBand'] {
  let [seconds, known] = [0, 0];
  for (let i = 1; i < stone.length; i++) {
    const [a, b] = [stone[i - 1], stone[i]];
    if (!a || !b || a[0] < from || b[0] > to || b[0] - a[0] > MAX_GAP_SECONDS) continue;
    known += b[0] - a[0];
    seconds += (b[0] - a[0]) * shareInside(a[1], b[1], band);
  }
  return to > from && known >= KNOWN_SHARE * (to - from) ? { seconds, of: to - from } : null;
}

export function figuresOf({ cook: { marks, run, targets }, stone }: Compared): CookFigures {
  const band = targets.stone;
  const litAt = marks.find(({ kind, name, undone }) => kind === 'event' && name === 'fire-lit' && !undone)?.t;
  const bandAt = stone.find(([, celsius]) => celsius >= band[0])?.[0];
  const launched = run.filter(({ pizza }) => pizza.launchedAt !== null);
  const firstAt = Math.min(...launched.map(({ pizza }) => pizza.launchedAt ?? Infinity));
  const early = stone.filter(([t]) => t <= firstAt).map(([, celsius]) => celsius);
  const lastOff = Math.max(...launched.map(({ pizza }) => pizza.offAt ?? pizza.launchedAt ?? -Infinity));
  const to = launched.length > 0 ? lastOff : (stone.at(-1)?.[0] ?? 0);
  const stones = launched.flatMap(({ review }) => review.stoneAtLaunch ?? []);
  const isIn = (celsius: number): boolean =>
    celsius >= band[0] - NEAR_BAND_CELSIUS && celsius <= band[1] + NEAR_BAND_CELSIUS;
  return {
    toBand: litAt === undefined || bandAt === undefined ? null : bandAt - litAt,
    over: early.length === 0 ? null : Math.max(0, early.reduce((a, b) => Math.max(a, b)) - band[1]),
    inBand: bandAt === undefined ? null : timeInBand(stone, band, bandAt, to),
    launches: stones.length === 0 ? null : { inBand: stones.filter(isIn).length, of: stones.length },
  };
}

/** A difference smaller than this says nothing: s, °C, and a share of the time. */
const NO_DIFFERENCE = { toBand: 120, over: 3, inBand: 0.05 } as const;

const shareOf = (part: number, { of }: { of: number }): number => part / Math.max(1e-9, of);
const minutes = (seconds: number): number => Math.round(seconds / 60);

/** What one cook did better than another, each with both numbers, as it goes on after its name. */
export function leads(figures: CookFigures, other: CookFigures, unit: Unit): string[] {
  const found: string[] = [];
  if (figures.launches && other.launches) {
    const by =
      shareOf(figures.launches.inBand, figures.launches) - shareOf(other.launches.inBand, other.launches);
    if (by > 0)
      found.push(`launched ${ofText(figures.launches)} pizzas in its band against ${ofText(other.launches)}`);
  }
  if (figures.over !== null && other.over !== null && other.over - figures.over >= NO_DIFFERENCE.over) {
    const [less, a, b] = [other.over - figures.over, figures.over, other.over].map((c) =>
      formatDifference(c, unit),
    );
    found.push(`ran ${less} less over its band before the first pizza (${a} against ${b})`);
  }
  if (
    figures.toBand !== null &&
    other.toBand !== null &&
    other.toBand - figures.toBand >= NO_DIFFERENCE.toBand
  )
    found.push(
      `was in its band ${minutes(other.toBand) - minutes(figures.toBand)} min sooner after the fire was lit (${minutes(figures.toBand)} against ${minutes(other.toBand)} min)`,
    );
  if (figures.inBand && other.inBand) {
    const by = shareOf(figures.inBand.seconds, figures.inBand) - shareOf(other.inBand.seconds, other.inBand);
    if (by >= NO_DIFFERENCE.inBand)
      found.push(
        `stayed in its band for ${minutesText(figures.inBand)} against ${minutesText(other.inBand)}`,
      );
  }
  return found;
}

const ofText = ({ inBand, of }: { inBand: number; of: number }): string => `${inBand} of ${of}`;
const minutesText = ({ seconds, of }: { seconds: number; of: number }): string =>
  `${minutes(seconds)} of ${minutes(of)} min`;
const list = (parts: readonly string[]): string =>
  parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;

const isComparable = (a: CookFigures, b: CookFigures): boolean =>
  (['toBand', 'over', 'inBand', 'launches'] as const).some((name) => a[name] !== null && b[name] !== null);

function sentenceOf(best: Named, other: Named, unit: Unit): string {
  if (!isComparable(best.figures, other.figures))
    return `${best.name} and ${other.name} have no figure in common.`;
  const leadsOfBest = leads(best.figures, other.figures, unit);
  const theirs = leads(other.figures, best.figures, unit);
  if (leadsOfBest.length === 0 && theirs.length === 0)
    return `${best.name} and ${other.name} went alike in all of these figures.`;
  if (leadsOfBest.length === theirs.length)
    return `Of ${best.name} and ${other.name} neither went better: ${best.name} ${list(leadsOfBest)}; ${other.name} ${list(theirs)}.`;
  const but = theirs.length === 0 ? '' : ` Against that, ${other.name} ${list(theirs)}.`;
  return `${best.name} went better than ${other.name}: it ${list(leadsOfBest)}.${but}`;
}

export type Named = { name: string; figures: CookFigures };

/**
 * Why one cook went better than each other. The better one leads in more figures over all the others; of two that lead
 * in as many, the first.
 * @returns a sentence for each other cook; none for fewer than two
 */
export function whyBetter(cooks: readonly Named[], unit: Unit): string[] {
  const scores = cooks.map(({ figures }) =>
    cooks.reduce(
      (sum, other) =>
        sum + leads(figures, other.figures, unit).length - leads(other.figures, figures, unit).length,
      0,
    ),
  );
  const best = cooks[scores.indexOf(Math.max(...scores))];
  if (!best || cooks.length < 2) return [];
  return cooks.filter((cook) => cook !== best).map((other) => sentenceOf(best, other, unit));
}
