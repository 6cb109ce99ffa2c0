import { Fault } from '../../shared/fault.ts';

/** One write: run inside the batch's transaction. */
export type Write = () => void;
/** Beyond this many writes that could not be kept the oldest are let go, so that memory stays bounded. */
const MOST = 200_000;
const RETRY_MS = 2000;
/** A disk that takes longer is slow, ms. */
const SLOW_MS = 1000;

/** What a queue writes to. */
export type Disk = {
  /** All in one transaction or none, seen by who reads after. @throws when they can't be kept */
  transact(writes: readonly Write[]): void;
  /** Resolves once what was committed before the call outlives a power cut. */
  settle(): Promise<void>;
};

export type Queue = {
  add(write: Write): void;
  kept(): Promise<void>;
  /** Commits now, if it can. */
  flush(): void;
  trouble(): string | null;
  close(): void;
};

type Waiting = { resolve(): void; reject(error: Fault): void };

/**
 * Group commit: writes of `batchMs` go into one transaction, and all who wait share it. A commit that fails keeps its
 * writes and tries again; those who waited are told at once. While the disk settles a commit, what comes is held back:
 * a slow disk gets few large ones, and nobody else waits for it.
 */
export function createQueue(disk: Disk, batchMs: number): Queue {
  let writes: Write[] = [];
  /** Theirs is held back; committed; and committed, with the disk settling it. */
  let waiting: Waiting[] = [];
  let committed: Waiting[] = [];
  let settling: Waiting[] | null = null;
  let unsettled = false;
  let due = false;
  let closed = false;
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
      if (writes.length > 0) {
        disk.transact(writes);
        unsettled = true;
      }
      writes = [];
      refused = null;
      lost = 0;
      committed.push(...asked);
    } catch (error) {
      refused = sentence(error, lost);
      refuse(asked, refused);
      schedule(RETRY_MS);
    }
    if (!settling) void settle();
  }
  async function settle(): Promise<void> {
    if (!unsettled) return tell(committed);
    settling = committed;
    committed = [];
    unsettled = false;
    let late = false;
    const watch = setTimeout(() => {
      late = true;
      slow = true;
    }, SLOW_MS).unref();
    try {
      await disk.settle();
      unsynced = null;
      slow = late;
      tell(settling);
    } catch (error) {
      unsettled = true;
      unsynced = sentence(error, 0);
      refuse(settling, unsynced);
    }
    clearTimeout(watch);
    settling = null;
    if (closed) return;
    if (unsynced) schedule(RETRY_MS);
    else if (due || waiting.length > 0 || unsettled) flush();
  }
  function tell(whom: Waiting[]): void {
    for (const one of whom.splice(0)) one.resolve();
  }
  function schedule(ms: number): void {
    timer ??= setTimeout(turn, ms).unref();
  }
  function turn(): void {
    due = true;
    if (!settling) flush();
  }
  return {
    add(write) {
      writes.push(write);
      if (writes.length > MOST) {
        lost += MOST / 10;
        writes.splice(0, MOST / 10);
      }
      schedule(batchMs);
    },
    kept() {
      return new Promise((resolve, reject) => {
        // Everyone who asks within one turn of the event loop shares the commit.
        if (waiting.length === 0) setImmediate(turn);
        waiting.push({ resolve, reject });
      });
    },
    flush,
    trouble: () => refused ?? unsynced ?? (slow ? SLOW : null),
    close() {
      closed = true;
      flush();
      if (timer) clearTimeout(timer);
      // The disk is closed next, which settles it.
      for (const asked of [committed, settling ?? []]) tell(asked);
    },
  };
}

function refuse(whom: readonly Waiting[], why: string): void {
  for (const one of whom) one.reject(new Fault('unkept', why));
}

const SLOW = 'The disk is slow: what happened in the last seconds is not on it yet.';

function sentence(error: unknown, lost: number): string {
  const why = error instanceof Error ? error.message : String(error);
  const gone = lost > 0 ? `, and the oldest ${lost} writes are lost` : '';
  return `The disk does not take what happens now (${why})${gone}: free some space or mend the data folder; it is tried again by itself.`;
}
