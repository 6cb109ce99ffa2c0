import Database from 'better-sqlite3';
import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { Fault } from '../../shared/fault.ts';
import { APPLICATION_ID, MIGRATIONS, SCHEMA_VERSION } from './migrations.ts';

export type Db = Database.Database;
export const DATABASE_NAME = 'peelside.sqlite';

/**
 * Opens the data folder's one file, making or migrating it. WAL with synchronous FULL: SQLite then syncs the log on
 * every commit, so that a commit outlives a power cut (sqlite.org/pragma.html#pragma_synchronous).
 * @throws Fault `unusable` when the folder can't be written, or the file is newer, damaged or not ours; it is untouched.
 */
export function openDatabase(folder: string): Db {
  const file = join(folder, DATABASE_NAME);
  let db: Db;
  try {
    mkdirSync(folder, { recursive: true });
    db = new Database(file, { timeout: 2000 });
  } catch (error) {
    throw new Fault(
      'unusable',
      `The data folder ${folder} can't be used (${text(error)}): choose another with --data.`,
    );
  }
  try {
    check(db, file);
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    migrate(db);
    return db;
  } catch (error) {
    db.close();
    if (error instanceof Fault) throw error;
    throw new Fault(
      'unusable',
      `The database ${file} can't be used (${text(error)}): move it away or choose another folder with --data.`,
    );
  }
}

const text = (error: unknown): string => (error instanceof Error ? error.message : String(error));
const version = (db: Db): number => db.pragma('user_version', { simple: true }) as number; // this pragma is an integer

function check(db: Db, file: string): void {
  const found = version(db);
  const application = db.pragma('application_id', { simple: true });
  const empty = db.prepare('SELECT count(*) AS n FROM sqlite_schema').get() as { n: number };
  if (empty.n === 0) return;
  if (application !== APPLICATION_ID)
    throw new Fault(
      'unusable',
      `${file} is a database of another program: choose another folder with --data.`,
    );
  if (found > SCHEMA_VERSION)
    throw new Fault(
      'unusable',
      `${file} was written by a newer peelside (schema ${found}, this one knows ${SCHEMA_VERSION}): update peelside, or choose another folder with --data.`,
    );
}

function migrate(db: Db): void {
  for (let next = version(db); next < SCHEMA_VERSION; next++)
    db.transaction(() => {
      db.exec(MIGRATIONS[next] ?? '');
      db.pragma(`application_id = ${APPLICATION_ID}`);
      db.pragma(`user_version = ${next + 1}`);
    })();
}

/**
 * Takes the data folder for one server: the operating system lets go of the lock however the process ends.
 * @returns the way to give it back
 * @throws Fault `conflict` when another server has it
 */
export function lockFolder(folder: string): () => void {
  const lock = new Database(join(folder, 'peelside.lock'), { timeout: 0 });
  try {
    lock.exec('BEGIN EXCLUSIVE');
  } catch {
    lock.close();
    throw new Fault(
      'conflict',
      `Another peelside serves the data folder ${folder}: stop that one, or choose another folder with --data.`,
    );
  }
  return () => lock.close();
}

/** Opens for reading only, as `doctor` does; null where there is none yet. */
export function peekDatabase(folder: string): Db | null {
  const file = join(folder, DATABASE_NAME);
  return existsSync(file) ? new Database(file, { readonly: true, timeout: 2000 }) : null;
}
