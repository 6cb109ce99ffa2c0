import { expect, it } from 'vitest';
import { createBreath } from '../../server/store/breath.ts';

it('given many long works at once, one goes on in each turn of the event loop, each in its turn', async () => {
  let turn = 0;
  const count = (): void => {
    turn++;
    if (turn < 1000) setImmediate(count);
  };
  count();
  const slices: [work: number, turn: number][] = [];
  const work = async (name: number): Promise<void> => {
    const breathe = createBreath(0);
    for (let slice = 0; slice < 3; slice++) {
      await breathe();
      slices.push([name, turn]);
    }
  };
  await Promise.all(Array.from({ length: 20 }, (_, name) => work(name)));
  expect(new Set(slices.map(([, at]) => at)).size).toBe(60);
  expect(slices.map(([name]) => name)).toEqual(Array.from({ length: 60 }, (_, i) => i % 20));
});

it('given a short work among long ones, ends it soon, and the long ones go on meanwhile', async () => {
  const slices: string[] = [];
  const work = async (name: string, pieces: number): Promise<void> => {
    const breathe = createBreath(0);
    for (let slice = 0; slice < pieces; slice++) {
      await breathe();
      slices.push(name);
    }
  };
  const long = Array.from({ length: 32 }, (_, i) => `export ${i}`);
  const ends = Promise.all(long.map((name) => work(name, 60)));
  while (slices.length < 32 * 20) await new Promise((resolve) => setImmediate(resolve));
  const before = slices.length;
  await work('list', 10);
  const others = slices.length - before - 10;
  expect(others).toBeGreaterThanOrEqual(9);
  expect(others).toBeLessThanOrEqual(12);
  await ends;
  expect(slices).toHaveLength(32 * 60 + 10);
});
