import { closeSync, fdatasync, fdatasyncSync, fstatSync, openSync, rmSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import { promisify } from 'node:util';
import { Worker } from 'node:worker_threads';
import type { Db } from './database.ts';

/** The log is copied into the database when it is longer, bytes: SQLite's own 1000 pages. */
export const CHECKPOINT_BYTES = 1000 * 4096;
/** What is written while it is copied keeps it from beginning anew: beyond this many times that it is waited for. */
const MAX_LOGS = 4;

type Durable = {
  /** Resolves once all that was committed before the call outlives a power cut. Rejects when the disk does not sync. */
  sync(): Promise<void>;
  /** To be called before the database is closed. */
  close(): void;
};

/**
 * A slow disk takes seconds to sync, and SQLite waits for it on the thread that serves the pages. So that they go on
 * meanwhile, SQLite is set to sync as `NORMAL` (a commit is written to the log, and not waited for), the log
 * is synced here by another thread, which is all that `FULL` does on top of it, and only then is a write
 * acknowledged. What else SQLite would sync, when it copies a long log into the database, a thread with a
 * connection of its own does. Source: sqlite.org/pragma.html#pragma_synchronous, sqlite.org/wal.html.
 */
export function createDurable(db: Db): Durable {
  db.pragma('synchronous = NORMAL');
  db.pragma('wal_autocheckpoint = 0');
  // When it begins anew the log is cut to this: what is longer holds more than this.
  db.pragma(`journal_size_limit = ${CHECKPOINT_BYTES}`);
  const copier = createCopier(db.name);
  const opened = statSync(db.name);
  const isThere = (): boolean => {
    const found = statSync(db.name, { throwIfNoEntry: false });
    return found !== undefined && found.ino === opened.ino && found.dev === opened.dev;
  };
  let log: number | null = null;
  let longAfter = CHECKPOINT_BYTES;
  let copying: Promise<void> | null = null;
  async function copy(size: number): Promise<void> {
    // Who reads an older state keeps a log from being copied whole: it is tried again when it has grown.
    longAfter = (await copier.copy()) ? CHECKPOINT_BYTES : size + CHECKPOINT_BYTES;
    copying = null;
  }
  return {
    async sync() {
      // It holds no locks, so that it may be opened beside SQLite.
      const file = (log ??= openSync(`${db.name}-wal`, 'r+'));
      await sync(file);
      if (log === null) return;
      const { size } = fstatSync(file);
      if (size > longAfter) copying ??= copy(size);
      if (size > MAX_LOGS * CHECKPOINT_BYTES) await copying;
    },
    close() {
      copier.close();
      if (log === null) return;
      const file = log;
      log = null;
      try {
        fdatasyncSync(file);
        // At the next start the log would be played into the database that was put in the place of ours.
        if (!isThere()) rmSync(`${db.name}-wal`, { force: true });
      } finally {
        closeSync(file);
      }
    },
  };
}

const sync = promisify(fdatasync);

/** Given as text, since it has to run from the bundle and from the sources alike. */
const COPIER = `
const { parentPort, workerData } = require('node:worker_threads');
const Database = require(workerData.sqlite);
parentPort.on('message', () => {
  let whole = false;
  try {
    const db = new Database(workerData.file, { fileMustExist: true });
    const [{ busy, log, checkpointed }] = db.pragma('wal_checkpoint(PASSIVE)');
    db.close();
    whole = busy === 0 && log === checkpointed;
  } catch {}
  parentPort.postMessage(whole);
});`;

/** Copies the log of `file` into it by a thread of its own, which is begun when it is first wanted. */
function createCopier(file: string): { copy(): Promise<boolean>; close(): void } {
  let worker: Worker | null = null;
  function begin(): Worker {
    const sqlite = createRequire(import.meta.url).resolve('better-sqlite3');
    const begun = new Worker(COPIER, {
      eval: true,
      workerData: { sqlite, file },
      resourceLimits: { maxOldGenerationSizeMb: 16, maxYoungGenerationSizeMb: 4 },
    });
    begun.unref();
    return begun;
  }
  return {
    copy: () =>
      new Promise((resolve) => {
        const current = (worker ??= begin());
        const done = (whole: boolean): void => {
          current.off('message', done).off('error', failed);
          resolve(whole);
        };
        const failed = (): void => {
          worker = null;
          done(false);
        };
        current.on('message', done).on('error', failed);
        current.postMessage(null);
      }),
    close: () => void worker?.terminate(),
  };
}
