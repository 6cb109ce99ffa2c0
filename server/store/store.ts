import type { CookEvent } from '../../shared/event.ts';
import type { EngineOutput } from '../../shared/engine.ts';
import type { Pizza } from '../../shared/pizza.ts';
import type { Probe } from '../../shared/probe.ts';
import type { Reading } from '../../shared/reading.ts';
import type { DeviceShelf } from './devices.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';

/** A cook as it is kept. Times are ms since the epoch. */
export type StoredCook = {
  id: number;
  name: string;
  notes: string;
  startedAt: number;
  endedAt: number | null;
  deletedAt: number | null;
  rehearsal: boolean;
  header: RecordingHeader;
  /** Thinned curves a channel as [t s, °C], made once the cook has ended. */
  picture: Picture | null;
};
export type Picture = Record<string, [number, number][]>;
export type CookPatch = Partial<Pick<StoredCook, 'name' | 'notes' | 'endedAt' | 'deletedAt' | 'picture'>>;

/** Engine lines that are kept for the review; forecasts are worked out again when they are wanted. */
export type Mark = Exclude<EngineOutput, { type: 'forecast' }>;

export type StoredReading = Reading & { /** ms since the epoch, as it came. */ at: number };
export type StoredEvent = { id: string; t: number; event: CookEvent; undone: boolean };
export type ReadingQuery = {
  channel?: string;
  /** ms since the epoch, both included. */ from?: number;
  to?: number;
};

/**
 * The keeping of everything. Adding is queued and committed together within `BATCH_MS`; `kept()` commits what is queued
 * and resolves once it is on disk, or rejects with a Fault `unkept`. Reading sees what is queued.
 */
export interface Store extends DeviceShelf {
  startCook(
    cook: Omit<StoredCook, 'id' | 'endedAt' | 'deletedAt' | 'notes' | 'picture'> & { notes?: string },
  ): number;
  patchCook(id: number, patch: CookPatch): void;
  /** Moves the labels of a cook, ms since the epoch, when the wall clock was found to have been wrong. */
  redateCook(id: number, from: number, to: number): void;
  removeCook(id: number): void;
  cook(id: number): StoredCook | null;
  /** Newest first; deleted ones left out. */
  cooks(): StoredCook[];
  /** The real cook that has not ended, newest; null when there is none. */
  runningCook(): StoredCook | null;

  addLine(cook: number, line: RecordingLine): void;
  addReading(cook: number, reading: StoredReading): void;
  addMark(cook: number, mark: Mark): void;
  putEvent(cook: number, event: StoredEvent): void;
  putPizza(cook: number, pizza: Pizza): void;
  removePizza(cook: number, id: string): void;

  lines(cook: number): IterableIterator<RecordingLine>;
  lineCount(cook: number): number;
  readings(cook: number, query: ReadingQuery): StoredReading[];
  /** At most about `points` a channel, each bucket's lowest and highest kept. */
  thinned(cook: number, query: ReadingQuery, points: number): StoredReading[];
  marks(cook: number): Mark[];
  events(cook: number): StoredEvent[];
  pizzas(cook: number): Pizza[];

  probes(): Probe[];
  putProbe(probe: Probe): void;
  removeProbe(id: string): void;
  setting(key: string): unknown;
  putSetting(key: string, value: unknown): void;

  kept(): Promise<void>;
  /** Why what is queued is not on disk, in words; null when all is well. */
  trouble(): string | null;
  /** What was lost when a damaged database was set aside, and where it is; null when that was not so. */
  mended(): string | null;
  close(): void;
}

/** What a power cut can cost of probe readings, ms; nothing that was acknowledged over HTTP. */
export const BATCH_MS = 250;
