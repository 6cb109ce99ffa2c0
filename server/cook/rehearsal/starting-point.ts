import type { Settings } from '../../../shared/api/api.ts';
import type { GrillPrior } from '../../../shared/engine.ts';
import type { RecordingHeader } from '../../../shared/recording.ts';
import type { Store } from '../../store/store.ts';
import type { BakeTimes } from '../../../shared/cook/run.ts';

/** The person's usual times, for a pizza that has none of its own. */
export const usualTimes = ({ turnAfter, offAfter }: Settings): BakeTimes => ({ turnAfter, offAfter });

/** What the engine starts a live cook from, kept with it. `startedAt` ms since the epoch. */
export function liveHeader(
  store: Store,
  settings: Settings,
  startedAt: number,
  targets: RecordingHeader['targets'] | undefined,
  grill: GrillPrior | null,
): RecordingHeader {
  return {
    recording: 1,
    startedAt: new Date(startedAt).toISOString(),
    channels: [
      { id: 'stone', role: 'stone', name: 'Stone' },
      { id: 'dome', role: 'dome', name: 'Dome' },
    ],
    targets: targets ?? settings.targets,
    probes: store.probes(),
    bake: usualTimes(settings),
    grill,
  };
}
