import type { EngineState } from '../../engine-state.ts';
import { staleAfter, type Channel } from '../../estimate/channel.ts';
import type { Facts } from '../../estimate/facts.ts';
import { whole, type AlertCondition, type Evaluation } from '../condition.ts';

/** Beyond `staleAfter` a probe is silent so long, s, before it is called lost. */
const LOST_AFTER = 100;

/** How long it has been silent, s, where that is too long; else 0. One reading only may have been a look. */
function lostFor(channel: Channel, t: number): number {
  const { role, filter } = channel;
  if (role === 'other' || filter.good === null || filter.every === null) return 0;
  const silent = t - filter.good;
  return silent > staleAfter(channel) + LOST_AFTER ? silent : 0;
}

function evaluate({ channels }: EngineState, { t }: Facts): Evaluation<'probe-lost'> {
  for (const channel of channels) {
    const silent = lostFor(channel, t);
    if (silent > 0)
      return { channel: channel.id, silent: whole(silent), patience: whole(staleAfter(channel)) };
  }
  return 'false';
}

export const probeLost: AlertCondition<'probe-lost'> = { onDelay: 0, offDelay: 5, evaluate };
