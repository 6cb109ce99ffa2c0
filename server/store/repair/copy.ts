import { chmodSync, existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { Fault, messageOf } from '../../../shared/fault.ts';
import { quarantine } from './quarantine.ts';
import {
  DATABASE_NAME,
  lockFolder,
  oddity,
  openDatabase,
  openPart,
  openToRead,
  openWhole,
  type Db,
} from '../database.ts';
import { salvage } from './salvage.ts';

/** Pages copied between two breaths of the event loop. */
const PAGES_PER_SLICE = 1000;
/** The copy on its way into the folder; the old database is set aside only once it is whole. */
const PART_NAME = `${DATABASE_NAME}.part`;
type Progress = (fraction: number) => void;

/**
 * Copies the folder's database as it is at this instant, also while a server writes to it. The copy has another name
 * until it is whole.
 * @returns how many cooks are in it
 * @throws Fault when there is none, or `file` is taken or can't be written
 */
export async function backUp(folder: string, file: string, progress: Progress): Promise<number> {
  const source = join(folder, DATABASE_NAME);
  if (!existsSync(source))
    throw new Fault('not-found', `There is nothing to back up in ${folder}: name its folder with --data.`);
  if (existsSync(file))
    throw new Fault('conflict', `${file} is there already: choose another name, or move it away.`);
  const db = openToRead(source);
  const part = `${file}.part`;
  try {
    mkdirSync(dirname(file), { recursive: true });
    await copyInstant(db, part, progress);
    const copy = openWhole(part);
    const cooks = copy.prepare('SELECT count(*) FROM cook').pluck().get() as number; // count is an integer
    copy.close();
    // The look into it made a log, which is empty.
    for (const rest of ['-wal', '-shm']) rmSync(part + rest, { force: true });
    chmodSync(part, 0o600);
    renameSync(part, file);
    return cooks;
  } catch (error) {
    for (const rest of ['', '-wal', '-shm']) rmSync(part + rest, { force: true });
    if (error instanceof Fault) throw error;
    const why = messageOf(error);
    throw new Fault('unusable', `The backup could not be made (${why}): look after ${dirname(file)}.`);
  } finally {
    db.close();
  }
}

/** An open read keeps the copy to one instant: what a server writes meanwhile does not start it again. */
async function copyInstant(db: Db, to: string, progress: Progress): Promise<void> {
  db.exec('BEGIN');
  db.prepare('SELECT count(*) FROM sqlite_schema').get();
  await db.backup(to, {
    progress({ totalPages, remainingPages }) {
      progress(totalPages > 0 ? 1 - remainingPages / totalPages : 1);
      return PAGES_PER_SLICE;
    },
  });
  db.exec('COMMIT');
}

/**
 * Who is let in stays as it is now, so that a backup brings no device back that was revoked since; where nothing is there
 * yet, nobody is let in.
 */
function keepDevices(folder: string, part: string): void {
  const source = join(folder, DATABASE_NAME);
  const now = existsSync(source) ? devicesOf(source) : [];
  const db = openPart(part);
  try {
    const columns = ['id', 'name', 'may', 'hash', 'entered_at', 'seen_at'];
    db.exec('DELETE FROM device');
    const put = db.prepare(
      `INSERT INTO device (${columns.join(', ')}) VALUES (${columns.map((column) => `@${column}`).join(', ')})`,
    );
    for (const row of now) put.run(row);
  } finally {
    db.close();
  }
}

/** None where the database that is there can't be read. */
function devicesOf(file: string): unknown[] {
  try {
    const db = openToRead(file);
    try {
      return db.prepare('SELECT id, name, may, hash, entered_at, seen_at FROM device').all();
    } finally {
      db.close();
    }
  } catch {
    return [];
  }
}

/** The tables that hold what was kept; what is worked out from them is worked out again. */
const TABLES = ['cook', 'line', 'reading', 'mark', 'event', 'pizza', 'photo', 'probe', 'setting'] as const;

/** Rows of all tables that are there. */
function rowsOf(db: Db): number {
  const names = new Set(db.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'").pluck().all());
  const count = (table: string): number =>
    db.prepare(`SELECT count(*) FROM ${table}`).pluck().get() as number; // count is an integer
  return TABLES.filter((table) => names.has(table)).reduce((sum, table) => sum + count(table), 0);
}

/**
 * A copy whose tables are not quite ours would stop what is written later, or take it and lose it: what it holds is put
 * into tables of ours, row by row.
 * @returns what was not as it should be, and how many rows found no place
 */
function intoOwnTables(folder: string, part: string): LeftOut {
  const odd = oddityOf(part);
  if (odd === null) return { odd, rows: 0 };
  const place = mkdtempSync(join(folder, 'peelside-repair-'));
  try {
    const [from, to] = [openToRead(part), openDatabase(place)];
    try {
      salvage(from, to);
      return { odd, rows: Math.max(0, rowsOf(from) - rowsOf(to)) };
    } finally {
      from.close();
      to.close();
      for (const rest of ['', '-wal', '-shm']) rmSync(part + rest, { force: true });
      renameSync(join(place, DATABASE_NAME), part);
    }
  } finally {
    rmSync(place, { recursive: true, force: true });
  }
}

function oddityOf(part: string): string | null {
  try {
    const db = openPart(part);
    try {
      return oddity(db);
    } finally {
      db.close();
    }
  } catch (error) {
    return messageOf(error);
  }
}

/**
 * Ends a restore that was cut off after the old database was set aside: the whole copy that was to come takes its place.
 * @returns whether there was one
 */
export function finishRestore(folder: string): boolean {
  const part = join(folder, PART_NAME);
  const file = join(folder, DATABASE_NAME);
  if (existsSync(file) || !existsSync(part)) return false;
  renameSync(part, file);
  return true;
}

type Restored = {
  /** Where the database that was there is now; null where there was none. */
  replaced: string | null;
  leftOut: LeftOut;
};
/** What of a backup was not as peelside makes it, and how many rows had no place in tables of its own. */
type LeftOut = { odd: string | null; rows: number };

/**
 * Puts a backup in the place of the folder's database, which is set aside first.
 * @param at ms since the epoch, for the name of what is set aside
 * @throws Fault `conflict` while a server has the folder, `not-found` or `unusable` when the backup is not one
 */
export async function restore(
  folder: string,
  file: string,
  at: number,
  progress: Progress,
): Promise<Restored> {
  const backup = openWhole(file);
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const unlock = lockFolder(folder);
    try {
      const part = join(folder, PART_NAME);
      for (const rest of ['', '-wal', '-shm']) rmSync(part + rest, { force: true });
      await copyInstant(backup, part, progress);
      const leftOut = intoOwnTables(folder, part);
      keepDevices(folder, part);
      const replaced = quarantine(folder, 'replaced', at);
      renameSync(part, join(folder, DATABASE_NAME));
      return { replaced, leftOut };
    } finally {
      unlock();
    }
  } finally {
    backup.close();
  }
}
