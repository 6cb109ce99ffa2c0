import type { EngineState } from '../../engine-state.ts';
import { type AlertCondition, type Evaluation } from '../condition.ts';

/** So many readings in a row that can't be trusted. */
const DOUBTFUL_READINGS = 15;

function evaluate({ channels }: EngineState): Evaluation<'probe-doubtful'> {
  const channel = channels.find(
    ({ role, filter }) => role !== 'other' && filter.doubtful >= DOUBTFUL_READINGS,
  );
  return channel ? { channel: channel.id, doubtful: channel.filter.doubtful } : 'false';
}

export const probeDoubtful: AlertCondition<'probe-doubtful'> = { onDelay: 30, offDelay: 60, evaluate };
