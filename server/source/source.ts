import type { Frame } from '../../shared/recording.ts';
import type { SourceKind } from '../../shared/words.ts';

type Undated<F> = F extends unknown ? Omit<F, 't'> : never;
/** A frame before the ingest stamped it with the time of its arrival. */
export type FrameBody = Undated<Frame>;

/** One device or port in reach, as a source sees it. */
export type Device = {
  id: string;
  name?: string;
  /** dBm, for radio. */
  rssi?: number;
  /** Percent. */
  battery?: number;
  link: 'seen' | 'connecting' | 'connected' | 'lost';
  /** Why it can't be used, in words. */
  problem?: string;
};

export type SourceStatus = {
  source: SourceKind;
  /** `off`: not asked for. `failed`: `problem` says why and `mend` what to do; it is tried again by itself. */
  state: 'off' | 'starting' | 'running' | 'failed';
  problem?: string;
  mend?: string;
  devices: Device[];
};

export type SourceEvents = {
  frame(body: FrameBody): void;
  status(status: SourceStatus): void;
};

/**
 * Port of a live source. Starting returns at once and never throws: what goes wrong is a status. `wanted` are the
 * addresses that probes are mapped to, so that a source connects to those by itself; it may change while running.
 */
export interface Source {
  readonly kind: SourceKind;
  start(events: SourceEvents): void;
  want(addresses: readonly string[]): void;
  stop(): Promise<void>;
}
