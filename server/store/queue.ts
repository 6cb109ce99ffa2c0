import { Fault } from '../../shared/fault.ts';

/** One write: run inside the batch's transaction. */
export type Write = () => void;
/** Beyond this many writes that could not be kept the oldest are let go, so that memory stays bounded. */
const MOST = 200_000;
const RETRY_MS = 2000;

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
 * writes and tries again; those who waited are told at once.
 * @param transact runs the writes in one transaction, all or none, and throws when they can't be kept
 */
export function createQueue(transact: (writes: readonly Write[]) => void, batchMs: number): Queue {
  let writes: Write[] = [];
  let waiting: Waiting[] = [];
  let timer: NodeJS.Timeout | null = null;
  let trouble: string | null = null;
  let lost = 0;

  function flush(): void {
    if (timer) clearTimeout(timer);
    timer = null;
    const told = waiting;
    waiting = [];
    try {
      if (writes.length > 0) transact(writes);
      writes = [];
      trouble = null;
      lost = 0;
      for (const one of told) one.resolve();
    } catch (error) {
      trouble = sentence(error, lost);
      for (const one of told) one.reject(new Fault('unkept', trouble));
      schedule(RETRY_MS);
    }
  }
  function schedule(ms: number): void {
    timer ??= setTimeout(flush, ms).unref();
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
        if (waiting.length === 0) setImmediate(flush);
        waiting.push({ resolve, reject });
      });
    },
    flush,
    trouble: () => trouble,
    close() {
      flush();
      if (timer) clearTimeout(timer);
    },
  };
}

function sentence(error: unknown, lost: number): string {
  const why = error instanceof Error ? error.message : String(error);
  const gone = lost > 0 ? `, and the oldest ${lost} writes are lost` : '';
  return `The disk does not take what happens now (${why})${gone}: free some space or mend the data folder; it is tried again by itself.`;
}
