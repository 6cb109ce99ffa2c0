import {
  closeSync,
  copyFileSync,
  existsSync,
  mkdtempSync,
  openSync,
  readSync,
  renameSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { basename, join } from 'node:path';
import { quarantine } from './quarantine.ts';
import { DATABASE_NAME, openDatabase, openToRead, type Db } from '../database.ts';
import { CHANGE_COUNTER_OFFSET } from './files-in-use.ts';
import { salvage, type Salvaged } from './salvage.ts';

/** A database that took the place of a damaged one. */
type RepairedDatabase = { db: Db; message: string };

/**
 * SQLite's page size where nothing else is set, bytes, and a place in the header
 * (sqlite.org/fileformat2.html).
 */
const PAGE_BYTES = 4096;
const VALID_FOR_OFFSET = 92;

/**
 * Quarantines the folder's damaged database, whole, and reads back into a new one what can be read. To be
 * called only by who holds the folder.
 * @param at ms since the epoch, for the name
 * @param held the database as it is still open, where another program did something to its files
 * @param release closes what is open
 * @throws when nothing can be written; all is then as it was
 */
export function repairDatabase(
  folder: string,
  at: number,
  held: Db | null,
  release: () => void,
): RepairedDatabase {
  if (held) return writeAnew(folder, at, held, release);
  release();
  const quarantined = quarantine(folder, 'damaged', at);
  const db = openDatabase(folder);
  if (quarantined === null) return { db, message: 'the database was gone, and a new one is in its place.' };
  const { rows, unreadable } = readBack(folder, quarantined, db);
  const lost = unreadable > 0 ? `, ${unreadable} more could not` : '';
  return {
    db,
    message: `what was damaged in the database. It is set aside whole as ${basename(quarantined)}; ${rows} rows of it could be read back${lost}.`,
  };
}

/** From what is still open; what lies in the folder in its place is set aside. */
function writeAnew(folder: string, at: number, held: Db, release: () => void): RepairedDatabase {
  const place = mkdtempSync(join(folder, 'peelside-repair-'));
  try {
    const anew = openDatabase(place);
    const { rows } = salvage(held, anew);
    anew.close();
    release();
    const replaced = quarantine(folder, 'replaced', at);
    renameSync(join(place, DATABASE_NAME), join(folder, DATABASE_NAME));
    const instead =
      replaced === null
        ? ''
        : `; what was in its place is set aside, and "peelside restore ${replaced}" takes it`;
    return {
      db: openDatabase(folder),
      message: `what happened in that moment, since another program has changed the database while it was in use. It is written anew from what was open, ${rows} rows${instead}.`,
    };
  } finally {
    rmSync(place, { recursive: true, force: true });
  }
}

function readBack(folder: string, quarantined: string, to: Db): Salvaged {
  try {
    const from = openToRead(quarantined);
    try {
      from.prepare('SELECT id FROM cook LIMIT 1').get();
      return salvage(from, to);
    } finally {
      from.close();
    }
  } catch {
    return withFreshHead(folder, quarantined, to);
  }
}

/**
 * Without its first page SQLite does not know the tables of a file. Ours are always made in the same order,
 * so that the first page of a new database says of a copy where they begin.
 */
function withFreshHead(folder: string, quarantined: string, to: Db): Salvaged {
  const place = mkdtempSync(join(folder, 'peelside-repair-'));
  try {
    const copy = join(place, 'copy.sqlite');
    copyFileSync(quarantined, copy);
    openDatabase(join(place, 'fresh')).close();
    graft(join(place, 'fresh', DATABASE_NAME), copy);
    if (existsSync(`${quarantined}-wal`)) copyFileSync(`${quarantined}-wal`, `${copy}-wal`);
    const from = openToRead(copy);
    try {
      return salvage(from, to);
    } finally {
      from.close();
    }
  } catch {
    return { rows: 0, unreadable: 0 };
  } finally {
    rmSync(place, { recursive: true, force: true });
  }
}

function graft(fresh: string, copy: string): void {
  const page = Buffer.alloc(PAGE_BYTES);
  const source = openSync(fresh, 'r');
  readSync(source, page, 0, PAGE_BYTES, 0);
  closeSync(source);
  // A counter that differs from the one its size was noted for makes SQLite take the size from the file.
  page.writeUInt32BE(page.readUInt32BE(VALID_FOR_OFFSET) + 1, CHANGE_COUNTER_OFFSET);
  const target = openSync(copy, 'r+');
  writeSync(target, page, 0, PAGE_BYTES, 0);
  closeSync(target);
}
