import { Fault } from '../../shared/fault.ts';
import { Damaged, isConstraint, isDamage, isOfDatabase, openDatabase, type Db } from './database.ts';
import { createDurable } from './durable.ts';
import { mend } from './mend.ts';
import type { Disk, Write } from './queue.ts';

type Value = string | number | null;
/** A statement that outlives the database it was prepared for. */
export type Statement = {
  run(...values: Value[]): void;
  get(...values: Value[]): unknown;
  all(...values: Value[]): unknown[];
};

export type Connection = Disk & {
  /** @param pluck gives the first column alone */
  statement(sql: string, pluck?: boolean): Statement;
  /** What was lost and where the rest is, once a damaged database was set aside; else null. */
  mended(): string | null;
  close(): void;
};

/** How the damage of a database is met: only who holds the folder may set it aside, at `now()`, ms since the epoch. */
export type Mending = { now(): number } | null;
/** A disk that damages one database after another is not mended by yet another. */
const MOST_MENDINGS = 3;

/** @throws Fault as `openDatabase` */
export function connect(folder: string, mending: Mending): Connection {
  let says: string | null = null;
  let mendings = 0;
  let db = openOrMend();
  let durable = createDurable(db);
  let commit = committer(db);

  function openOrMend(): Db {
    try {
      return openDatabase(folder, mending !== null);
    } catch (error) {
      if (!(error instanceof Damaged) || !mending) throw error;
      return mendNow(mending);
    }
  }
  function mendNow({ now }: { now(): number }): Db {
    mendings += 1;
    const mended = mend(folder, now());
    says = mended.says;
    return mended.db;
  }
  /** Does it, and once more where the database was found damaged and could be mended. */
  function withMending<T>(work: () => T): T {
    try {
      return work();
    } catch (error) {
      if (!isDamage(error) || !mending || db.inTransaction || mendings >= MOST_MENDINGS) throw error;
      durable.close();
      db.close();
      db = mendNow(mending);
      durable = createDurable(db);
      commit = committer(db);
      return work();
    }
  }
  function reading<T>(work: () => T): T {
    try {
      return withMending(work);
    } catch (error) {
      if (!isOfDatabase(error)) throw error;
      throw new Fault('unkept', `What is kept can't be read now (${text(error)}): look after the disk.`);
    }
  }
  return {
    statement(sql, pluck = false) {
      let prepared: ReturnType<typeof prepare> | null = null;
      let of = db;
      const current = () => {
        if (!prepared || of !== db) prepared = prepare(db, sql, pluck);
        of = db;
        return prepared;
      };
      return {
        run: (...values) => void current().run(...values),
        get: (...values) => reading(() => current().get(...values)),
        all: (...values) => reading(() => current().all(...values)),
      };
    },
    transact: (writes) => withMending(() => commit(writes)),
    settle: () => durable.settle(),
    mended: () => says,
    close() {
      durable.close();
      db.close();
    },
  };
}

const text = (error: unknown): string => (error instanceof Error ? error.message : String(error));

function prepare(db: Db, sql: string, pluck: boolean) {
  const prepared = db.prepare(sql);
  return pluck ? prepared.pluck() : prepared;
}

/**
 * One transaction function a database: each has a hidden class of its own, which V8 keeps through collections, and with
 * it all that the function holds.
 */
function committer(db: Db): (writes: readonly Write[]) => void {
  const all = db.transaction((writes: readonly Write[], by: (write: Write) => void) =>
    writes.forEach(by),
  ).immediate;
  return (writes) => {
    try {
      all(writes, perform);
    } catch (error) {
      if (!isConstraint(error)) throw error;
      all(writes, unlessItCanNever);
    }
  };
}

const perform = (write: Write): void => write();

/** A write that the schema forbids would keep all that follow from disk for ever. */
function unlessItCanNever(write: Write): void {
  try {
    write();
  } catch (error) {
    if (!isConstraint(error)) throw error;
    console.error(`One write was left out, since it contradicts what is kept: ${text(error)}.`);
  }
}
