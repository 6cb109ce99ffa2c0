import { describe, expect, it, vi } from 'vitest';
import { createQueue, type Disk } from '../../server/store/queue.ts';

const run = (writes: readonly (() => void)[]): void => {
  for (const write of writes) write();
};

const turns = (): Promise<void> => new Promise((done) => setTimeout(done, 5));
/** A disk by its parts; what is not given does it at once. */
const diskOf = (transact: Disk['transact'], settle: Disk['settle'] = async () => {}): Disk => ({
  transact,
  settle,
});

describe('the write queue', () => {
  it('commits together what was asked for in one turn', async () => {
    const batches: number[] = [];
    const queue = createQueue(
      diskOf((writes) => batches.push(writes.length)),
      60_000,
    );
    queue.add(() => {});
    const first = queue.kept();
    queue.add(() => {});
    await Promise.all([first, queue.kept()]);
    expect(batches).toEqual([2]);
    queue.close();
  });

  it('tells those who wait when the disk refuses, keeps the writes, and succeeds later', async () => {
    let full = true;
    const done: string[] = [];
    const transact = (writes: readonly (() => void)[]): void => {
      if (full) throw new Error('database or disk is full');
      run(writes);
    };
    const queue = createQueue(diskOf(transact), 60_000);
    queue.add(() => done.push('a'));
    await expect(queue.kept()).rejects.toThrow(/disk is full/);
    expect(queue.trouble()).toMatch(/disk is full/);
    full = false;
    queue.add(() => done.push('b'));
    await queue.kept();
    expect(done).toEqual(['a', 'b']);
    expect(queue.trouble()).toBeNull();
    queue.close();
  });

  it('acknowledges what the disk has settled and nothing sooner, and holds the rest back meanwhile', async () => {
    const settled: (() => void)[] = [];
    const batches: number[] = [];
    const queue = createQueue(
      diskOf(
        (writes) => batches.push(writes.length),
        () => new Promise<void>((resolve) => settled.push(resolve)),
      ),
      60_000,
    );
    const told: string[] = [];
    const ask = (name: string): void => {
      queue.add(() => {});
      void queue.kept().then(() => told.push(name));
    };
    ask('first');
    await turns();
    ask('second');
    ask('third');
    await turns();
    expect({ batches, told }).toEqual({ batches: [1], told: [] });
    settled[0]?.();
    await turns();
    expect({ batches, told }).toEqual({ batches: [1, 2], told: ['first'] });
    // What is read is committed first, but not on disk before the disk says so.
    ask('fourth');
    queue.flush();
    settled[1]?.();
    await turns();
    expect({ batches, told }).toEqual({ batches: [1, 2, 1], told: ['first', 'second', 'third'] });
    settled[2]?.();
    await turns();
    expect(told).toEqual(['first', 'second', 'third', 'fourth']);
    queue.close();
  });

  it('tells those who wait when the disk does not sync, and settles it later', async () => {
    let broken = true;
    let settled = 0;
    const queue = createQueue(
      diskOf(run, async () => {
        if (broken) throw new Error('EIO: i/o error, fdatasync');
        settled += 1;
      }),
      60_000,
    );
    queue.add(() => {});
    await expect(queue.kept()).rejects.toThrow(/EIO/);
    expect(queue.trouble()).toMatch(/EIO/);
    broken = false;
    await queue.kept();
    expect(settled).toBe(1);
    expect(queue.trouble()).toBeNull();
    queue.close();
  });

  it('says that a disk is slow while it is, and until it is quick again', async () => {
    vi.useFakeTimers();
    const settled: (() => void)[] = [];
    const queue = createQueue(
      diskOf(run, () => new Promise<void>((resolve) => settled.push(resolve))),
      100,
    );
    queue.add(() => {});
    await vi.advanceTimersByTimeAsync(900);
    expect(queue.trouble()).toBeNull();
    await vi.advanceTimersByTimeAsync(900);
    expect(queue.trouble()).toMatch(/slow/);
    queue.add(() => {});
    settled[0]?.();
    await vi.advanceTimersByTimeAsync(200);
    expect(queue.trouble()).toMatch(/slow/);
    settled[1]?.();
    await vi.advanceTimersByTimeAsync(1);
    expect(queue.trouble()).toBeNull();
    queue.close();
    vi.useRealTimers();
  });
});
