import { Fault, messageOf } from '../../shared/fault.ts';

/** One write: run inside the batch's transaction. */
export type Write = () => void;
/** Beyond this many writes that could not be kept the oldest are let go, so that memory stays bounded. */
const MAX_WRITES = 200_000;
/** Writes that are committed without waiting for more. */
const MAX_TOGETHER = 1000;
const RETRY_MS = 2000;
/** A disk that takes longer is slow, ms. */
const SLOW_MS = 1000;

/** What a queue writes to. */
export type Disk = {
  /**
   * All in one transaction, seen by who reads after. @returns why one of them was left out for good, since no disk would
   * take it; null when all are there. @throws when the disk takes none of them now
   */
  transact(writes: readonly Write[]): string | null;
  /** Resolves once what was committed before the call outlives a power cut. */
  sync(): Promise<void>;
};

export type Queue = {
  add(write: Write): void;
  persisted(): Promise<void>;
  /** Commits now, if it can. */
  flush(): void;
  error(): string | null;
  /** Writes that wait for the next commit. */
  length(): number;
  close(): void;
};

type Waiting = { resolve(): void; reject(error: Fault): void };

/**
 * Group commit: writes of `batchMs` go into one transaction, and all who wait share it. A commit that fails keeps its
 * writes and tries again; those who waited get an error at once. While the disk syncs a commit, what comes
 * is held back: a slow disk gets few large ones, and nobody else waits for it.
 */
export function createQueue(disk: Disk, batchMs: number): Queue {
  let writes: Write[] = [];
  /** Waiting for the commit; committed; and committed, with the disk syncing. */
  let waiting: Waiting[] = [];
  let committed: Waiting[] = [];
  let syncing: Waiting[] | null = null;
  let needsSync = false;
  let due = false;
  let closed = false;
  let early = false;
  let timer: NodeJS.Timeout | null = null;
  let refused: string | null = null;
  let unsynced: string | null = null;
  let slow = false;
  let lost = 0;

  function flush(): void {
    if (timer) clearTimeout(timer);
    timer = null;
    due = false;
    const asked = waiting;
    waiting = [];
    try {
      let leftOut: string | null = null;
      if (writes.length > 0) {
        leftOut = disk.transact(writes);
        needsSync = true;
      }
      writes = [];
      refused = null;
      lost = 0;
      // Whose write it was is not known: nobody's write is confirmed.
      if (leftOut === null) committed.push(...asked);
      else
        refuse(asked, `Something was left out, since it can’t be stored (${leftOut}): check what is there.`);
    } catch (error) {
      refused = sentence(error, lost);
      refuse(asked, refused);
      schedule(RETRY_MS);
    }
    if (!syncing) void sync();
  }
  async function sync(): Promise<void> {
    if (!needsSync) return tell(committed);
    syncing = committed;
    committed = [];
    needsSync = false;
    let late = false;
    const watch = setTimeout(() => {
      late = true;
      slow = true;
    }, SLOW_MS).unref();
    try {
      await disk.sync();
      unsynced = null;
      slow = late;
      tell(syncing);
    } catch (error) {
      needsSync = true;
      unsynced = sentence(error, 0);
      refuse(syncing, unsynced);
    }
    clearTimeout(watch);
    syncing = null;
    if (closed) return;
    if (unsynced) schedule(RETRY_MS);
    else if (due || waiting.length > 0 || needsSync) flush();
  }
  function tell(whom: Waiting[]): void {
    for (const waiter of whom.splice(0)) waiter.resolve();
  }
  function schedule(ms: number): void {
    timer ??= setTimeout(turn, ms).unref();
  }
  function turn(): void {
    due = true;
    if (!syncing) flush();
  }
  return {
    add(write) {
      writes.push(write);
      if (writes.length > MAX_WRITES) {
        lost += MAX_WRITES / 10;
        writes.splice(0, MAX_WRITES / 10);
      }
      // A large transaction would hold up all else: it goes in parts, each of whole turns of the event loop.
      if (writes.length >= MAX_TOGETHER && !early && refused === null) {
        early = true;
        setImmediate(() => {
          early = false;
          if (!closed) flush();
        });
      }
      schedule(batchMs);
    },
    persisted() {
      return new Promise((resolve, reject) => {
        // Everyone who asks within one turn of the event loop shares the commit.
        if (waiting.length === 0) setImmediate(turn);
        waiting.push({ resolve, reject });
      });
    },
    flush,
    length: () => writes.length,
    error: () => refused ?? unsynced ?? (slow ? SLOW_TEXT : null),
    close() {
      closed = true;
      flush();
      if (timer) clearTimeout(timer);
      // The disk is closed next, which syncs it.
      for (const asked of [committed, syncing ?? []]) tell(asked);
    },
  };
}

function refuse(whom: readonly Waiting[], why: string): void {
  for (const waiter of whom) waiter.reject(new Fault('unkept', why));
}

const SLOW_TEXT = 'The disk is slow: what happened in the last seconds is not on it yet.';

function sentence(error: unknown, lost: number): string {
  if (error instanceof Fault) return error.message;
  const why = messageOf(error);
  const gone = lost > 0 ? `, and the oldest ${lost} writes are lost` : '';
  return `The disk does not take what happens now (${why})${gone}: free some space or repair the data folder; it is tried again by itself.`;
}
