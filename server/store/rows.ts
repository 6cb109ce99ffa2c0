import type { Quality } from '../../shared/words.ts';
import type { StoredReading } from './store.ts';

/**
 * Rows of one of our own tables have the shape we wrote; this is the boundary where that is asserted once.
 */
export const rows = <T>(found: unknown): T[] => found as T[];
export const row = <T>(found: unknown): T | null => (found as T | undefined) ?? null;

export type ReadingRow = {
  channel: string;
  at: number;
  t: number;
  celsius: number | null;
  quality: Quality;
  reason: string | null;
};

export const toReading = ({ channel, at, t, celsius, quality, reason }: ReadingRow): StoredReading =>
  reason === null ? { channel, at, t, celsius, quality } : { channel, at, t, celsius, quality, reason };
