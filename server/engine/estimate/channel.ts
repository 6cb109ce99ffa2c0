import type { EngineConfig } from '../../../shared/engine.ts';
import type { Role } from '../../../shared/words.ts';
import {
  estimateAt,
  freshFilter,
  PROCESS_NOISE,
  takeReading,
  type Estimate,
  type Filter,
  type ReadingUse,
} from './channel-filter.ts';
import { addToBins, freshBins, type Bins } from './reading-bins.ts';

/** A channel as the engine follows it: its filter and the last five minutes; and what people who looked at it said. */
export type Channel = { id: string; role: Role; filter: Filter; bins: Bins; looks: Look[] };
/** °C that a person read off at `t`. */
export type Look = { t: number; celsius: number };

export const freshChannel = ({ id, role }: EngineConfig['channels'][number]): Channel => ({
  id,
  role,
  filter: freshFilter(),
  bins: freshBins(),
  looks: [],
});

/** Takes a good reading in; one that is no newer than the channel's last is left out. */
export function takeInto(channel: Channel, t: number, celsius: number): ReadingUse | null {
  if (channel.filter.lastAt !== null && t <= channel.filter.lastAt) return null;
  const use = takeReading(channel.filter, t, celsius, PROCESS_NOISE[channel.role]);
  channel.filter.doubtful = 0;
  if (use !== 'outlier') addToBins(channel.bins, t, celsius);
  return use;
}

/** Readings farther apart than this, s, are looks, whatever sent them. */
const LOOK_GAP_SECONDS = 75;
/** So many looks are remembered. */
export const MAX_LOOKS = 200;

/** Takes in what a person read off. @returns whether it is news */
export function takeLookInto(channel: Channel, t: number, celsius: number): boolean {
  const last = channel.looks.at(-1);
  if (last && t <= last.t) return false;
  channel.looks.push({ t, celsius });
  if (channel.looks.length > MAX_LOOKS) channel.looks.shift();
  return true;
}

/** Nothing measures the channel all the time: the second of its readings, or every one, came long after the one before. */
export function isSparse({ filter, looks }: Channel, t: number): boolean {
  if (filter.lastAt === null) return looks.length > 1 && t - (looks.at(-1)?.t ?? t) > LOOK_GAP_SECONDS;
  return filter.every === null && t - filter.lastAt > LOOK_GAP_SECONDS;
}

/** What was taken for a probe's first reading was a look. */
export function lookInstead(channel: Channel): void {
  const { track, lastAt } = channel.filter;
  if (track && lastAt !== null) channel.looks.push({ t: lastAt, celsius: track.x });
  channel.filter = freshFilter();
  channel.bins = freshBins();
}

/** A reading that is not good says only that the probe is there. */
export function takeDoubtful(channel: Channel, t: number): void {
  const { filter } = channel;
  if (filter.lastAt !== null && t <= filter.lastAt) return;
  filter.lastAt = t;
  filter.doubtful += 1;
}

/** Silence beyond this is blindness: 20 s, or three reporting intervals where that is longer. */
export const blindAfter = ({ filter }: Channel): number => Math.max(20, 3 * (filter.every ?? 0));

export const isFresh = (channel: Channel, t: number): boolean =>
  channel.filter.good !== null && t - channel.filter.good <= blindAfter(channel);

export const estimate = (channel: Channel, t: number): Estimate | null =>
  estimateAt(channel.filter, t, PROCESS_NOISE[channel.role]);

/** The channel that stands for a role: the freshest, the first named where two are as fresh. */
export function channelOf(channels: readonly Channel[], role: Role, t: number): Channel | null {
  let best: Channel | null = null;
  for (const channel of channels) {
    if (channel.role !== role || channel.filter.good === null) continue;
    if (best === null || (!isFresh(best, t) && isFresh(channel, t))) best = channel;
  }
  return best;
}
