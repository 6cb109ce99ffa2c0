import type { Live } from '../../hub/broadcast.ts';
import type { Store } from '../../store/store.ts';
import type { Clock } from './clock.ts';
import type { RehearsalRecording } from '../rehearsal/rehearsal-recording.ts';

export type SessionParts = {
  store: Store;
  clock: Clock;
  /** Where each change goes, with the readings that came. */
  hub: Pick<Live, 'publish'>;
  /** Finds a bundled or named recording. */
  recording(file: string | undefined): Promise<RehearsalRecording>;
};
