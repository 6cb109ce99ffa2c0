import type { LiveReading, Now } from '../../../shared/api/live.ts';
import type { Store } from '../../store/store.ts';
import type { Clock } from './clock.ts';
import type { RehearsalRecording } from '../rehearsal/rehearsal-recording.ts';

export type SessionParts = {
  store: Store;
  clock: Clock;
  /** Called after each change with the readings that came. */
  changed(readings: LiveReading[]): void;
  sources(): Now['sources'];
  /** Channels whose probe is known to be out of reach. */
  lostChannels(): ReadonlySet<string>;
  /** Finds a bundled or named recording. */
  recording(file: string | undefined): Promise<RehearsalRecording>;
};
