import type { CookEntry } from '../../shared/cook/reduce.ts';
import type { EngineOutput } from '../../shared/engine.ts';
import type { Pizza } from '../../shared/evening/pizza.ts';
import type { Probe } from '../../shared/probe.ts';
import type { Reading } from '../../shared/reading.ts';
import type { InPieces } from '../../shared/work/in-pieces.ts';
import type { DeviceShelf } from './device-verbs.ts';
import type { PhotoPart } from '../../shared/evening/photo.ts';
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
export type EngineRecord = Exclude<EngineOutput, { type: 'forecast' }>;

export type StoredReading = Reading & { /** ms since the epoch, as it came. */ at: number };
export type StoredEvent = CookEntry;
export type ReadingQuery = {
  channel?: string;
  /** ms since the epoch, both included. */ from?: number;
  to?: number;
};

/** A picture of a pizza that a person took. `at` is ms since the epoch, of when it was taken in. */
export type StoredPhoto = { id: string; pizza: string; part: PhotoPart; at: number };

export type PhotoVerbs = {
  addPhoto(cook: number, photo: StoredPhoto, jpeg: Uint8Array): void;
  /** Without the pictures themselves; oldest first. */
  photos(cook: number): StoredPhoto[];
  photo(cook: number, id: string): Uint8Array | null;
  removePhoto(cook: number, id: string): void;
};

/**
 * Adding is queued and committed together within `BATCH_MS`; `persisted()` commits what is queued
 * and resolves once it is on disk, or rejects with a Fault `unkept`. Reading sees what is queued.
 */
export interface Store extends DeviceShelf, PhotoVerbs {
  startCook(
    cook: Omit<StoredCook, 'id' | 'endedAt' | 'deletedAt' | 'notes' | 'picture'> &
      Partial<Pick<StoredCook, 'notes' | 'deletedAt'>>,
  ): number;
  patchCook(id: number, patch: CookPatch): void;
  /** Moves the labels of a cook, ms since the epoch, when the wall clock was found to have been wrong. */
  redateCook(id: number, from: number, to: number): void;
  removeCook(id: number): void;
  /** Takes away a part of what a cook holds, as quickly as may be. @returns whether there was anything left */
  thinOutCook(id: number): boolean;
  cook(id: number): StoredCook | null;
  /** Newest first; deleted ones left out. */
  cooks(): StoredCook[];
  /** Those alone that are deleted, or are being brought in. */
  deletedCooks(): StoredCook[];
  /** The real cook that has not ended, newest; null when there is none. */
  runningCook(): StoredCook | null;

  addLine(cook: number, line: RecordingLine): void;
  addReading(cook: number, reading: StoredReading): void;
  /** Takes a reading that was struck out from among those that are drawn and counted; its line stays. */
  removeReading(cook: number, reading: Pick<StoredReading, 'channel' | 'at' | 't'>): void;
  addRecord(cook: number, record: EngineRecord): void;
  putEvent(cook: number, event: StoredEvent): void;
  putPizza(cook: number, pizza: Pizza): void;
  removePizza(cook: number, id: string): void;

  lines(cook: number): IterableIterator<RecordingLine>;
  lineCount(cook: number): number;
  readings(cook: number, query: ReadingQuery): StoredReading[];
  /** The same one after the other, read as they are wanted, so that a long cook is never held whole. */
  eachReading(cook: number, query: ReadingQuery): IterableIterator<StoredReading>;
  /** At most about `points` a channel, each bucket's lowest and highest kept; a page of readings a piece. */
  downsampled(cook: number, query: ReadingQuery, points: number): InPieces<StoredReading[]>;
  records(cook: number): EngineRecord[];
  events(cook: number): StoredEvent[];
  pizzas(cook: number): Pizza[];

  probes(): Probe[];
  putProbe(probe: Probe): void;
  removeProbe(id: string): void;
  setting(key: string): unknown;
  putSetting(key: string, value: unknown): void;

  persisted(): Promise<void>;
  /** Why what is queued is not on disk, in words; null when all is well. */
  error(): string | null;
  /** How many writes were left out because they can never be kept, whatever the disk does; 0 when all is well. */
  dropped(): number;
  /** Writes that wait for the next commit. */
  queued(): number;
  /** What was lost when a damaged database was quarantined, and where it is; else null. */
  repairNote(): string | null;
  close(): void;
}

/** What a power cut can cost of probe readings, ms; nothing that was acknowledged over HTTP. */
export const BATCH_MS = 250;
