import { closeSync, fstatSync, openSync, readSync, statSync, writeSync, type BigIntStats } from 'node:fs';
import { Disturbed, type Db } from '../database.ts';
import { isLogWhole } from './log-check.ts';

/** Places in the header of a database, bytes (sqlite.org/fileformat2.html#the_database_header). */
const HEADER_BYTES = 100;
export const CHANGE_COUNTER_OFFSET = 24;
const SCHEMA_COOKIE_OFFSET = 40;

type FilesInUse = {
  /** @throws Disturbed where another program deleted, replaced, cut or overwrote them */
  check(): void;
  /** To be called after each commit: the log is then as this process left it. */
  committed(): void;
  /**
   * Puts the log's index back to its length where another program cut it, to be called before each read: SQLite has it
   * mapped, and the kernel ends a process that touches what was cut off.
   */
  mendIndex(): void;
  /** To be called after the database is closed. */
  close(): void;
};

/**
 * SQLite does not notice what other programs do to the files that it has open, and goes on as if all were well
 * (sqlite.org/howtocorrupt.html). What SQLite itself does to them, here or in another process: it adds to the log, cuts it
 * back to `longestCut` bytes at the least, and copies it into the database, whose change counter grows by that.
 * @param longestCut what the log is cut to by SQLite itself, bytes
 */
export function watchFiles(db: Db, longestCut: number): FilesInUse {
  const [main, log, index] = ['', '-wal', '-shm'].map((end) => ({
    path: db.name + end,
    was: statOf(db.name + end),
  })) as [File, File, File];
  // Held open until the database is closed: to close it earlier gives back the locks of the whole process (POSIX).
  const handle = openSync(db.name, 'r');
  const cookies = new Set([header().cookie, db.pragma('schema_version', { simple: true })]);
  let counter = header().counter;
  // Held open for the same reason; it is there since the schema was read.
  const indexHandle = openSync(index.path, 'r+');
  let indexLength = 0;

  // Opened when the log is there; held open for the same reason.
  let logHandle: number | null = null;
  let logWritten = log.was?.mtimeNs;
  /** Of what others write into the log SQLite sees nothing, and copies it into the database. */
  function isLogOverwritten(now: BigIntStats): boolean {
    if (now.mtimeNs === logWritten) return false;
    logWritten = now.mtimeNs;
    return !isLogWhole((logHandle ??= openSync(log.path, 'r')), indexHandle);
  }

  function header(): { counter: number; cookie: number } {
    const bytes = Buffer.alloc(HEADER_BYTES);
    readSync(handle, bytes, 0, HEADER_BYTES, 0);
    return {
      counter: bytes.readUInt32BE(CHANGE_COUNTER_OFFSET),
      cookie: bytes.readUInt32BE(SCHEMA_COOKIE_OFFSET),
    };
  }
  function isOverwritten(now: BigIntStats): boolean {
    const head = header();
    const other = !cookies.has(head.cookie) || head.counter < counter || now.size < (main.was?.size ?? 0n);
    counter = head.counter;
    return other;
  }
  function wrong(): string | null {
    const [mainNow, logNow, indexNow] = [main, log, index].map(({ path }) => statOf(path));
    if (!isSame(main.was, mainNow) || !isSame(log.was, logNow) || !isSame(index.was, indexNow))
      return 'deleted or replaced';
    const least = log.was === undefined ? 0n : min(log.was.size, BigInt(longestCut));
    if (logNow && logNow.size < least) return 'cut';
    if (logNow && isLogOverwritten(logNow)) return 'overwritten';
    if (mainNow && mainNow.mtimeNs !== main.was?.mtimeNs && isOverwritten(mainNow)) return 'overwritten';
    main.was = mainNow;
    log.was = logNow;
    index.was = indexNow;
    return null;
  }
  function mendIndex(): void {
    const { size } = fstatSync(indexHandle);
    if (size < indexLength) {
      // Where it is zero SQLite makes it anew (sqlite.org/walformat.html); a hole could not be filled on a full disk.
      writeSync(indexHandle, Buffer.alloc(indexLength), 0, indexLength, 0);
      console.error(`Another program cut ${index.path}; it is made anew, and nothing is lost.`);
    } else indexLength = size;
  }
  mendIndex();
  return {
    mendIndex,
    committed: () => void (logWritten = statOf(log.path)?.mtimeNs),
    check() {
      mendIndex();
      const how = wrong();
      if (how !== null) throw new Disturbed(how);
    },
    close() {
      closeSync(handle);
      closeSync(indexHandle);
      if (logHandle !== null) closeSync(logHandle);
    },
  };
}

type File = { path: string; was: BigIntStats | undefined };
const statOf = (path: string): BigIntStats | undefined =>
  statSync(path, { bigint: true, throwIfNoEntry: false });
/** What was not there yet may come. */
const isSame = (was: BigIntStats | undefined, now: BigIntStats | undefined): boolean =>
  was === undefined || (now !== undefined && now.ino === was.ino && now.dev === was.dev);
const min = (a: bigint, b: bigint): bigint => (a < b ? a : b);
