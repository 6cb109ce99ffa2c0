import Database from 'better-sqlite3';
import { mkdirSync, statSync, existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { Fault, messageOf } from '../../shared/fault.ts';
import { behindLink, forThisUser, writable } from './repair/file-access.ts';
import { APPLICATION_ID, MIGRATIONS, SCHEMA_VERSION } from './migrations.ts';

export type Db = Database.Database;
export const DATABASE_NAME = 'peelside.sqlite';
/** Looked through whole at a start up to this size, bytes; what is larger shows its damage where it is touched. */
const CHECK_WHOLE_BYTES = 64 * 1024 * 1024;

/** SQLite's own cache: the operating system keeps the file too, and a small computer has little memory. */
const CACHE_KIB = 4096;

/** The file seems to be ours, and is damaged. */
export class Damaged extends Fault {
  constructor(file: string, why: string) {
    super(
      'unusable',
      `The database ${file} is damaged (${why}): "peelside serve" sets it aside and reads back what it can.`,
    );
  }
}

/** Another program did something to the files while they were open here; what was kept can still be read by who has them open. */
export class Disturbed extends Fault {
  constructor(how: string) {
    super(
      'unusable',
      `Another program has ${how} the database while it was in use: stop the server, and restore a backup.`,
    );
  }
}

/** @returns whether the file itself is not as it should be, as SQLite says (sqlite.org/rescode.html) or we */
export function isDamage(error: unknown): boolean {
  return (
    error instanceof Damaged || error instanceof Disturbed || /^SQLITE_(CORRUPT|NOTADB)/.test(codeOf(error))
  );
}
/** @returns whether it is the disk, the file or who else holds it that is at fault, and not what was to be written */
export const isOfDisk = (error: unknown): boolean =>
  /^SQLITE_(?:FULL|IOERR|READONLY|CANTOPEN|BUSY|LOCKED|CORRUPT|NOTADB|NOMEM|PERM|AUTH|PROTOCOL|INTERRUPT|SCHEMA|NOLFS)/.test(
    codeOf(error),
  );
export const isOfDatabase = (error: unknown): boolean => codeOf(error) !== '';
const codeOf = (error: unknown): string => (error instanceof Database.SqliteError ? error.code : '');

/**
 * Opens the data folder's one file, making or migrating it. WAL with synchronous FULL: SQLite then syncs the log on
 * every commit, so that a commit outlives a power cut (sqlite.org/pragma.html#pragma_synchronous); `durable.ts` takes
 * that over from it while it serves.
 * @param look whether to look for damage in a file that is not too large for it
 * @throws Damaged
 * @throws Fault `unusable` when the folder can't be written, or the file is newer or not ours; it is untouched.
 */
export function openDatabase(folder: string, look = false): Db {
  const file = join(folder, DATABASE_NAME);
  let db: Db;
  needSqlite();
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    forThisUser(folder, file);
    writable(folder, file);
    db = new Database(behindLink(file), { timeout: 2000 });
  } catch (error) {
    throw unusableFolder(folder, error);
  }
  try {
    distrust(db);
    check(db, file);
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    db.pragma(`cache_size = -${CACHE_KIB}`);
    const damage = look && statSync(file).size <= CHECK_WHOLE_BYTES ? damageOf(db) : null;
    if (damage !== null) throw new Damaged(file, damage);
    migrate(db);
    const odd = look ? oddity(db) : null;
    if (odd !== null) throw new Damaged(file, odd);
    return db;
  } catch (error) {
    db.close();
    if (error instanceof Fault) throw error;
    // Of a file that is ours, what SQLite does not understand is its schema.
    if (isDamage(error) || (look && isOfDatabase(error) && !isOfDisk(error)))
      throw new Damaged(file, messageOf(error));
    if (codeOf(error) === 'SQLITE_FULL') throw unusableFolder(folder, error);
    throw new Fault(
      'unusable',
      `The database ${file} can't be used (${messageOf(error)}): move it away or choose another folder with --data.`,
    );
  }
}

const version = (db: Db): number => db.pragma('user_version', { simple: true }) as number; // this pragma is an integer

/** An upgrade of Node, or an install without its scripts, leaves SQLite without what Node can load. */
const isNotBuilt = (error: unknown): boolean =>
  error instanceof Error &&
  (('code' in error && error.code === 'ERR_DLOPEN_FAILED') || error.message.includes('bindings file'));

/** @throws Fault `unusable` with the command that helps, where SQLite is not built for this Node */
export function needSqlite(): void {
  try {
    new Database(':memory:').close();
  } catch (error) {
    if (!isNotBuilt(error)) throw error;
    const modules = createRequire(import.meta.url).resolve('better-sqlite3/package.json');
    throw new Fault(
      'unusable',
      `SQLite is not built for Node ${process.versions.node}: run "npm rebuild better-sqlite3" in ${join(modules, '..', '..', '..')}; where that finds no ready-made one it needs a C++ compiler (Debian: apt-get install build-essential python3).`,
    );
  }
}

function unusableFolder(folder: string, error: unknown): Fault {
  const code = error instanceof Error && 'code' in error ? error.code : '';
  const remedy =
    code === 'ENOSPC' || code === 'SQLITE_FULL'
      ? `is on a disk that is full: free some space, 1 MB at the least`
      : code === 'EROFS'
        ? `is on a disk that can only be read: look after the disk, or choose another folder with --data`
        : code === 'EACCES' || code === 'EPERM'
          ? `or a file in it is not this user's to write: give it back with "sudo chown -R $USER ${folder}" and "chmod -R u+rwX ${folder}", or choose another with --data`
          : `can't be used (${messageOf(error)}): choose another with --data`;
  return new Fault('unusable', `The data folder ${folder} ${remedy}.`);
}

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

/** @returns the last line of what SQLite finds wrong in the whole file; null where that is nothing */
function damageOf(db: Db): string | null {
  const result = db.pragma('quick_check(1)', { simple: true });
  return result === 'ok' ? null : (String(result).split('\n').at(-1) ?? '');
}

/** What a schema calls may do no harm, whoever made the file (sqlite.org/security.html). */
const distrust = (db: Db): unknown => db.pragma('trusted_schema = OFF');

function migrate(db: Db): void {
  for (let next = version(db); next < SCHEMA_VERSION; next++)
    db.transaction(() => {
      db.exec(MIGRATIONS[next] ?? '');
      db.pragma(`application_id = ${APPLICATION_ID}`);
      db.pragma(`user_version = ${next + 1}`);
    })();
}

/** What is made of the schema, by kind and name, without comments and layout. */
const schemaOf = (db: Db): Map<string, string> =>
  new Map(
    (
      db
        .prepare("SELECT type || ' ' || name AS name, sql FROM sqlite_schema WHERE sql IS NOT NULL")
        .all() as { name: string; sql: string }[]
    ).map(({ name, sql }) => [name, sql.replaceAll(/--[^\n]*|\s+/g, '')]),
  );

/** Numbers that count rows; beyond these bounds they are not told apart in JavaScript, and none can follow them. */
const COUNTING = { cook: 'id', line: 'seq', mark: 'seq', reading: 'seq' } as const;
export const MAX_COUNTED = 2 ** 52;

/**
 * @returns what is not as peelside makes it, though SQLite finds nothing wrong: a table that is lacking or made
 * otherwise, an index or trigger that could refuse what is written, a number that nothing can follow; else null
 */
export function oddity(db: Db): string | null {
  const fresh = new Database(':memory:');
  migrate(fresh);
  const [ours, found] = [schemaOf(fresh), schemaOf(db)];
  fresh.close();
  for (const [name, sql] of ours) if (found.get(name) !== sql) return `the ${name} is not as it should be`;
  for (const name of found.keys())
    if (!ours.has(name) && /^(?:index|trigger) /.test(name)) return `the ${name} is not known`;
  for (const [table, column] of Object.entries(COUNTING))
    if (db.prepare(`SELECT 1 FROM ${table} WHERE ${column} NOT BETWEEN 0 AND ${MAX_COUNTED} LIMIT 1`).get())
      return `a ${column} of the table ${table} is out of bounds`;
  return null;
}

/**
 * Takes the data folder for one server: the operating system lets go of the lock however the process ends.
 * @returns what gives it back
 * @throws Fault `conflict` when another server has it
 */
export function lockFolder(folder: string): () => void {
  const lock = openLock(folder);
  try {
    lock.exec('BEGIN EXCLUSIVE');
  } catch (error) {
    lock.close();
    if (!codeOf(error).startsWith('SQLITE_BUSY')) throw unusableFolder(folder, error);
    throw new Fault(
      'conflict',
      `Another peelside serves the data folder ${folder}: stop that one, or choose another folder with --data.`,
    );
  }
  return () => lock.close();
}

function openLock(folder: string): Db {
  needSqlite();
  try {
    mkdirSync(folder, { recursive: true });
    const lock = join(folder, 'peelside.lock');
    writable(folder, lock);
    return new Database(lock, { timeout: 0 });
  } catch (error) {
    throw unusableFolder(folder, error);
  }
}

/** Opens any SQLite file for reading only, whatever its state. @throws when it is not there */
export function openToRead(file: string): Db {
  const db = new Database(file, { readonly: true, fileMustExist: true, timeout: 2000 });
  distrust(db);
  return db;
}

/** A copy that is still to take its place: brought to our schema, without a log of its own. */
export function openPart(file: string): Db {
  const db = new Database(file, { fileMustExist: true, timeout: 2000 });
  distrust(db);
  db.pragma('journal_mode = DELETE');
  migrate(db);
  return db;
}

/** What we write is plain tables and their indexes; SQLite keeps no text for the indexes that it makes by itself. */
const PLAIN = /^CREATE (?:TABLE|(?:UNIQUE )?INDEX) /;
const isPlain = (db: Db): boolean =>
  db
    .prepare('SELECT sql FROM sqlite_schema')
    .pluck()
    .all()
    .every((sql) => sql === null || (typeof sql === 'string' && PLAIN.test(sql)));

/**
 * A database of ours, whole and not newer, for reading only; it may have been brought by somebody else.
 * @throws Fault `not-found` or `unusable`
 */
export function openWhole(file: string): Db {
  if (!existsSync(file)) throw new Fault('not-found', `There is no file ${file}: check its name.`);
  let db: Db | null = null;
  try {
    db = openToRead(file);
    check(db, file);
    const wrong = isPlain(db)
      ? (damageOf(db) ?? (schemaOf(db).size === 0 ? 'it is empty' : null))
      : 'it holds a view, trigger or virtual table, which peelside never makes';
    if (wrong !== null) throw new Error(wrong);
    return db;
  } catch (error) {
    db?.close();
    if (error instanceof Fault) throw error;
    throw new Fault('unusable', `${file} can't be used (${messageOf(error)}): take another one.`);
  }
}
