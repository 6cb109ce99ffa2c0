import { describe, expect, it, vi } from 'vitest';
import { createQueue, type Disk } from '../../server/store/queue.ts';

const run = (writes: readonly (() => void)[]): null => {
  for (const write of writes) write();
  return null;
};
/** Notes how many writes came together. */
const counting =
  (batches: number[]) =>
  (writes: readonly unknown[]): null => {
    batches.push(writes.length);
    return null;
  };

/** So many turns of the event loop that all which waits for no disk has been done. */
async function turns(): Promise<void> {
  for (let i = 0; i < 10; i++) await new Promise((done) => setImmediate(done));
}
/** A disk by its parts; what is not given does it at once. */
const diskOf = (transact: Disk['transact'], sync: Disk['sync'] = async () => {}): Disk => ({
  transact,
  sync,
});

describe('the write queue', () => {
  it('commits together what was asked for in one turn', async () => {
    const batches: number[] = [];
    const queue = createQueue(diskOf(counting(batches)), 60_000);
    queue.add(() => {});
    const first = queue.persisted();
    queue.add(() => {});
    await Promise.all([first, queue.persisted()]);
    expect(batches).toEqual([2]);
    queue.close();
  });

  it('tells those who wait when the disk refuses, keeps the writes, and succeeds later', async () => {
    let full = true;
    const done: string[] = [];
    const transact = (writes: readonly (() => void)[]): null => {
      if (full) throw new Error('database or disk is full');
      return run(writes);
    };
    const queue = createQueue(diskOf(transact), 60_000);
    queue.add(() => done.push('a'));
    await expect(queue.persisted()).rejects.toThrow(/disk is full/);
    expect(queue.error()).toMatch(/disk is full/);
    full = false;
    queue.add(() => done.push('b'));
    await queue.persisted();
    expect(done).toEqual(['a', 'b']);
    expect(queue.error()).toBeNull();
    queue.close();
  });

  it('acknowledges what the disk has synced and nothing sooner, and holds the rest back meanwhile', async () => {
    const syncs: (() => void)[] = [];
    const batches: number[] = [];
    const queue = createQueue(
      diskOf(counting(batches), () => new Promise<void>((resolve) => syncs.push(resolve))),
      60_000,
    );
    const resolved: string[] = [];
    const ask = (name: string): void => {
      queue.add(() => {});
      void queue.persisted().then(() => resolved.push(name));
    };
    ask('first');
    await turns();
    ask('second');
    ask('third');
    await turns();
    expect({ batches, resolved }).toEqual({ batches: [1], resolved: [] });
    syncs[0]?.();
    await turns();
    expect({ batches, resolved }).toEqual({ batches: [1, 2], resolved: ['first'] });
    // What is read is committed first, but not on disk before the disk says so.
    ask('fourth');
    queue.flush();
    syncs[1]?.();
    await turns();
    expect({ batches, resolved }).toEqual({ batches: [1, 2, 1], resolved: ['first', 'second', 'third'] });
    syncs[2]?.();
    await turns();
    expect(resolved).toEqual(['first', 'second', 'third', 'fourth']);
    queue.close();
  });

  it('given a disk that does not sync, rejects those who wait, and syncs later', async () => {
    let broken = true;
    let syncs = 0;
    const queue = createQueue(
      diskOf(run, async () => {
        if (broken) throw new Error('EIO: i/o error, fdatasync');
        syncs += 1;
      }),
      60_000,
    );
    queue.add(() => {});
    await expect(queue.persisted()).rejects.toThrow(/EIO/);
    expect(queue.error()).toMatch(/EIO/);
    broken = false;
    await queue.persisted();
    expect(syncs).toBe(1);
    expect(queue.error()).toBeNull();
    queue.close();
  });

  it('says that a disk is slow while it is, and until it is quick again', async () => {
    vi.useFakeTimers();
    const syncs: (() => void)[] = [];
    const queue = createQueue(
      diskOf(run, () => new Promise<void>((resolve) => syncs.push(resolve))),
      100,
    );
    queue.add(() => {});
    await vi.advanceTimersByTimeAsync(900);
    expect(queue.error()).toBeNull();
    await vi.advanceTimersByTimeAsync(900);
    expect(queue.error()).toMatch(/slow/);
    queue.add(() => {});
    syncs[0]?.();
    await vi.advanceTimersByTimeAsync(200);
    expect(queue.error()).toMatch(/slow/);
    syncs[1]?.();
    await vi.advanceTimersByTimeAsync(1);
    expect(queue.error()).toBeNull();
    queue.close();
    vi.useRealTimers();
  });
});
