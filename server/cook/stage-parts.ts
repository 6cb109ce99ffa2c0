import type { LiveReading, Now } from '../../shared/live.ts';
import type { Store } from '../store/store.ts';
import type { Clock } from './clock.ts';
import type { Tape } from './player.ts';

export type StageParts = {
  store: Store;
  clock: Clock;
  /** Called after each change with the readings that came. */
  changed(readings: LiveReading[]): void;
  sources(): Now['sources'];
  /** Channels whose probe is known to be out of reach. */
  lostChannels(): ReadonlySet<string>;
  /** Finds a bundled or named recording. */
  tape(file: string | undefined): Promise<Tape>;
};
