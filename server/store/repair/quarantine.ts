import { existsSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { DATABASE_NAME } from '../database.ts';

/** The log and its index go with a database, under its name (sqlite.org/wal.html). */
const FILE_SUFFIXES = ['', '-wal', '-shm'] as const;

/**
 * Moves the data folder's database to a dated name that is free; nothing is deleted.
 * @param why a word of the new name
 * @param at ms since the epoch, a label
 * @returns the new path, or null where there was no database
 */
export function quarantine(folder: string, why: 'damaged' | 'replaced', at: number): string | null {
  const file = join(folder, DATABASE_NAME);
  if (!existsSync(file)) return null;
  const stamp = new Date(at).toISOString().slice(0, 19).replaceAll(':', '');
  const name = (n: number): string => join(folder, `peelside-${why}-${stamp}${n > 1 ? `-${n}` : ''}.sqlite`);
  let n = 1;
  while (FILE_SUFFIXES.some((part) => existsSync(name(n) + part))) n++;
  // The log first: a crash between the two must not leave a log that a fresh database would take for its own.
  for (const part of [...FILE_SUFFIXES].reverse())
    if (existsSync(file + part)) renameSync(file + part, name(n) + part);
  return name(n);
}
