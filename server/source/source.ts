import type { Frame } from '../../shared/recording.ts';
import type { SourceKind } from '../../shared/words.ts';
import type { Subscription } from './subscription.ts';

type Undated<F> = F extends unknown ? Omit<F, 't'> : never;
/** A frame before the ingest stamped it with the time of its arrival. */
export type FrameBody = Undated<Frame>;

/** One value that a device offers, as its probe address would name it. */
export type Part = {
  service?: string;
  characteristic?: string;
  instance?: number;
  advert?: string;
  /** What the device calls it (descriptor 0x2901). */
  name?: string;
  /** Bytes of its presentation format (descriptor 0x2904), hexadecimal. */
  format?: string;
};

/** One device or port in reach, as a source sees it. */
export type Device = {
  id: string;
  name?: string;
  /** dBm, for radio. */
  rssi?: number;
  /** Percent. */
  battery?: number;
  /** Bits a second, for a serial port once it is known. */
  rate?: number;
  link: 'seen' | 'connecting' | 'connected' | 'lost';
  /** What it offers: of a Bluetooth device its services as advertised until it was connected to. */
  parts?: Part[];
  /** Why it can't be used, in words, and what to do. */
  problem?: string;
  remedy?: string;
};

export type SourceStatus = {
  source: SourceKind;
  /**
   * `off`: not asked for. `failed`: `problem` says why and `remedy` what to do; it is tried again by itself.
   */
  state: 'off' | 'starting' | 'running' | 'failed';
  problem?: string;
  remedy?: string;
  devices: Device[];
};

export type SourceEvents = {
  frame(body: FrameBody): void;
  status(status: SourceStatus): void;
};

/**
 * Port of a live source. Starting returns at once and never throws: what goes wrong is a status. Each of the
 * `subscriptions` (all of it, of all sources) is connected to by itself and again whenever it went away; it
 * may change while running.
 */
export interface Source {
  readonly kind: SourceKind;
  start(events: SourceEvents): void;
  subscribe(subscriptions: readonly Subscription[]): void;
  /** As if subscribed, for `seconds`: shows the live values of something that no probe is mapped to yet. */
  look(at: Subscription, seconds: number): void;
  stop(): Promise<void>;
}
