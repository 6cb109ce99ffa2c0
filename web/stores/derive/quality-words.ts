import type { LiveChannel } from '../../../shared/api/live.ts';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { Unit } from '../../../shared/units.ts';
import { formatAge } from '../../lib/format.ts';

type Freshness = { age: number | null; stale: boolean };

/**
 * How old a channel's reading is by now, counted on here so that a silent server ages it too. Pure.
 * @param elapsed s since the document was made
 */
export function freshness(channel: LiveChannel, elapsed: number): Freshness {
  if (channel.age === null) return { age: null, stale: !channel.isEstimate };
  const age = channel.age + elapsed;
  if (channel.isEstimate) return { age, stale: false };
  return { age, stale: channel.stale || age > channel.staleAfter };
}

/** How far a channel's reading can be trusted, and why not further. Pure. */
export function qualityWords(channel: LiveChannel, { age, stale }: Freshness, unit: Unit): string {
  const { quality, reason, celsius, isEstimate } = channel;
  if (isEstimate) return estimateWords(channel, age);
  if (age === null) return 'no reading yet';
  if (stale) return age < 1 ? 'old: silent now' : `old: silent for ${formatAge(age)}`;
  if (quality === 'good') return `${formatAge(age)} ago`;
  const why = reason ? `: ${textInUnit(reason, unit)}` : '';
  return celsius === null ? `no value${why}` : `doubtful${why}`;
}

/** What reads no more often than this, s, is somebody who looks now and then. */
const SPARSE_SECONDS = 75;

/** A person looks now and then; a probe that says nothing more is broken, away or forgotten. */
function estimateWords({ source, every }: LiveChannel, age: number | null): string {
  if (age === null) return 'estimated, not looked at';
  if (source === 'spot') return `looked at ${formatAge(age)} ago`;
  const isProbe = every !== null && every <= SPARSE_SECONDS;
  return isProbe
    ? `probe silent for ${formatAge(age)}: estimated`
    : `estimated; last read ${formatAge(age)} ago`;
}
