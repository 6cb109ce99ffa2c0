import type { EngineState } from '../../engine-state.ts';
import { blindAfter, type Channel } from '../../estimate/channel.ts';
import type { Facts } from '../../estimate/facts.ts';
import { keptAlarm, whole, type AlertCondition, type Evaluation } from '../condition.ts';

/**
 * Beyond `blindAfter` a probe is silent so long, s, before it is called lost; of a stone that is called ready so long: nobody
 * is to launch by an estimate and not know why it is one.
 */
const LOST_AFTER_SECONDS = { usually: 100, ready: 15 };

const STANDS = ['unacknowledged', 'acknowledged', 'shelved'];
const stands = (state: EngineState, alert: 'stone-ready' | 'probe-lost'): boolean =>
  STANDS.includes(keptAlarm(state, alert, null)?.alarm.state ?? 'normal');

/** Whether somebody may launch by what the probe said last; what was called lost for that stays so. */
const isCalledReady = (state: EngineState): boolean =>
  state.stone.state === 'ready' ||
  (state.stone.state === 'blind' && (stands(state, 'stone-ready') || stands(state, 'probe-lost')));

/** How long it has been silent, s, where that is too long; else 0. One reading only may have been a look; who looks since knows. */
function lostFor(state: EngineState, channel: Channel, t: number): number {
  const { role, filter, looks } = channel;
  if (role === 'other' || filter.good === null || filter.every === null) return 0;
  if ((looks.at(-1)?.t ?? -1e6) > filter.good) return 0;
  const patience =
    role === 'stone' && isCalledReady(state) ? LOST_AFTER_SECONDS.ready : LOST_AFTER_SECONDS.usually;
  const silent = t - filter.good;
  return silent > blindAfter(channel) + patience ? silent : 0;
}

function evaluate(state: EngineState, { t }: Facts): Evaluation<'probe-lost'> {
  for (const channel of state.channels) {
    const silent = lostFor(state, channel, t);
    if (silent > 0)
      return { channel: channel.id, silent: whole(silent), patience: whole(blindAfter(channel)) };
  }
  return 'false';
}

// Readings that are back leave nothing to see.
export const probeLost: AlertCondition<'probe-lost'> = { onDelay: 0, offDelay: 5, forget: 0, evaluate };
