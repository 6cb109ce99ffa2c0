import { describe, expect, it } from 'vitest';
import { createQueue } from '../../server/store/queue.ts';

const run = (writes: readonly (() => void)[]): void => {
  for (const write of writes) write();
};

describe('the write queue', () => {
  it('commits together what was asked for in one turn', async () => {
    const batches: number[] = [];
    const queue = createQueue((writes) => batches.push(writes.length), 60_000);
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
    const queue = createQueue((writes) => {
      if (full) throw new Error('database or disk is full');
      run(writes);
    }, 60_000);
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
});
