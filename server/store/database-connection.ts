import { Fault, messageOf } from '../../shared/fault.ts';
import { Damaged, Disturbed, isDamage, isOfDatabase, isOfDisk, openDatabase, type Db } from './database.ts';
import { createDurable, CHECKPOINT_BYTES } from './durable.ts';
import { watchFiles } from './repair/files-in-use.ts';
import { repairDatabase } from './repair/repair-database.ts';
import type { Disk, Write } from './queue.ts';

type Value = string | number | null | Uint8Array;
/** A statement that outlives the database it was prepared for. */
type Statement = {
  run(...values: Value[]): void;
  get(...values: Value[]): unknown;
  all(...values: Value[]): unknown[];
};

export type Connection = Disk & {
  /** @param pluck gives the first column alone */
  statement(sql: string, pluck?: boolean): Statement;
  /** What was lost and where the rest is, once a damaged database was quarantined; else null. */
  repairNote(): string | null;
  /** Writes that were left out since no disk would take them. */
  dropped(): number;
  close(): void;
};

/**
 * Present where the folder is held: only then may a damaged database be repaired, at `now()`, ms since the
 * epoch.
 */
export type RepairClock = { now(): number } | null;
/** A disk that damages one database after another is not helped by yet another. */
const MAX_MENDINGS = 3;

/** @throws Fault as `openDatabase` */
export function connect(folder: string, repairClock: RepairClock): Connection {
  let message: string | null = null;
  let repairs = 0;
  let dropped = 0;
  let db = openOrRepair();
  let durable = createDurable(db);
  let files = watchFiles(db, CHECKPOINT_BYTES);
  let commit = committer(db);

  function openOrRepair(): Db {
    try {
      return openDatabase(folder, repairClock !== null);
    } catch (error) {
      if (!(error instanceof Damaged) || !repairClock) throw error;
      return repairNow(repairClock, null);
    }
  }
  /** @param held where the database that is open can still be read, though its files are not what they were */
  function repairNow({ now }: { now(): number }, held: Db | null, release = (): void => {}): Db {
    const repaired = repairDatabase(folder, now(), held, release);
    repairs += 1;
    message = repaired.message;
    return repaired.db;
  }
  function release(): void {
    durable.close();
    db.close();
    files.close();
  }
  /** Does it, and once more where the database was found damaged and could be repaired. */
  function withRepair<T>(work: () => T): T {
    try {
      return work();
    } catch (error) {
      if (!isDamage(error) || !repairClock || db.inTransaction || repairs >= MAX_MENDINGS) throw error;
      db = repairNow(repairClock, isDisturbed(error) ? db : null, release);
      durable = createDurable(db);
      files = watchFiles(db, CHECKPOINT_BYTES);
      commit = committer(db);
      return work();
    }
  }
  /** What SQLite takes for damage may be the work of another program. */
  function isDisturbed(error: unknown): boolean {
    if (error instanceof Disturbed) return true;
    try {
      files.check();
      return false;
    } catch (found) {
      return found instanceof Disturbed;
    }
  }
  function reading<T>(work: () => T): T {
    try {
      files.mendIndex();
      return withRepair(work);
    } catch (error) {
      if (!isOfDatabase(error)) throw error;
      throw new Fault('unkept', `What is kept can't be read now (${messageOf(error)}): check the disk.`);
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
    transact(writes) {
      const unfit = withRepair(() => {
        files.check();
        const leftOut = commit(writes);
        files.committed();
        return leftOut;
      });
      dropped += unfit.length;
      for (const why of unfit) console.error(`One write was left out, since it can’t be stored: ${why}.`);
      return unfit[0] ?? null;
    },
    dropped: () => dropped,
    async sync() {
      await durable.sync();
      const before = repairs;
      withRepair(() => files.check());
      if (repairs > before)
        throw new Fault('unkept', 'The database had to be written anew: see whether the last is there.');
    },
    repairNote: () => message,
    close: release,
  };
}

function prepare(db: Db, sql: string, pluck: boolean) {
  const prepared = db.prepare(sql);
  return pluck ? prepared.pluck() : prepared;
}

/**
 * One transaction function a database: each has a hidden class of its own, which V8 keeps through collections, and with
 * it all that the function holds.
 * @returns does the writes, and gives why each that was left out was
 */
function committer(db: Db): (writes: readonly Write[]) => string[] {
  const all = db.transaction((writes: readonly Write[], by: (write: Write) => void) =>
    writes.forEach(by),
  ).immediate;
  return (writes) => {
    try {
      all(writes, perform);
      return [];
    } catch (error) {
      if (isOfDisk(error)) throw error;
      const leftOut: string[] = [];
      all(writes, (write) => {
        try {
          write();
        } catch (wrong) {
          // What contradicts the schema or can't be made a row would keep all that follow from disk for ever.
          if (isOfDisk(wrong)) throw wrong;
          leftOut.push(messageOf(wrong));
        }
      });
      return leftOut;
    }
  };
}

const perform = (write: Write): void => write();
