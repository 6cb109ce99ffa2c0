import type { EngineConfig } from '../../shared/engine.ts';
import type { Role } from '../../shared/words.ts';
import {
  estimateAt,
  freshFilter,
  LIVELINESS,
  takeReading,
  type Estimate,
  type Filter,
  type Taken,
} from './filter.ts';
import { addToBins, freshBins, type Bins } from './trend.ts';

/** A channel as the engine follows it: its filter and the last five minutes. */
export type Channel = { id: string; role: Role; filter: Filter; bins: Bins };

export const freshChannel = ({ id, role }: EngineConfig['channels'][number]): Channel => ({
  id,
  role,
  filter: freshFilter(),
  bins: freshBins(),
});

/** Takes a good reading in; one that is no newer than the channel's last is left out. */
export function takeInto(channel: Channel, t: number, celsius: number): Taken | null {
  if (channel.filter.heard !== null && t <= channel.filter.heard) return null;
  const taken = takeReading(channel.filter, t, celsius, LIVELINESS[channel.role]);
  channel.filter.doubtful = 0;
  if (taken !== 'wild') addToBins(channel.bins, t, celsius);
  return taken;
}

/** A reading that is not good says only that the probe is there. */
export function takeDoubtful(channel: Channel, t: number): void {
  const { filter } = channel;
  if (filter.heard !== null && t <= filter.heard) return;
  filter.heard = t;
  filter.doubtful += 1;
}

/** Silence beyond this is blindness: 20 s, or three reporting intervals where that is longer. */
export const patience = ({ filter }: Channel): number => Math.max(20, 3 * (filter.every ?? 0));

export const isFresh = (channel: Channel, t: number): boolean =>
  channel.filter.good !== null && t - channel.filter.good <= patience(channel);

export const estimate = (channel: Channel, t: number): Estimate | null =>
  estimateAt(channel.filter, t, LIVELINESS[channel.role]);

/** The channel that stands for a role: the freshest, the first named where two are as fresh. */
export function channelOf(channels: readonly Channel[], role: Role, t: number): Channel | null {
  let best: Channel | null = null;
  for (const channel of channels) {
    if (channel.role !== role || channel.filter.good === null) continue;
    if (best === null || (!isFresh(best, t) && isFresh(channel, t))) best = channel;
  }
  return best;
}
