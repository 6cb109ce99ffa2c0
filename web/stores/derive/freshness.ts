import type { LiveChannel } from '../../../shared/api/live.ts';

export type Freshness = { age: number | null; stale: boolean };

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
