import { describe, expect, it } from 'vitest';
import { nextLaunchAt, onStone, runAhead, swapped } from '../../../../web/stores/derive/pizza-countdowns.ts';
import { makeNow, recording, pizza } from '../../support/now.ts';

const lying = (id: string, launchedAt: number) => ({
  pizza: id,
  launchedAt,
  turnAt: launchedAt + 210,
  offAt: launchedAt + 450,
});

describe('a pizza earlier or later', () => {
  it('given a move of one place, swaps it with its neighbour and keeps the rest', () => {
    expect(swapped(['a', 'b', 'c'], 'b', -1)).toEqual(['b', 'a', 'c']);
    expect(swapped(['a', 'b', 'c'], 'b', 1)).toEqual(['a', 'c', 'b']);
  });
  it('stays where it has none', () => {
    expect(swapped(['a', 'b'], 'a', -1)).toBeNull();
    expect(swapped(['a', 'b'], 'b', 1)).toBeNull();
    expect(swapped(['a'], 'z', 1)).toBeNull();
  });
});

describe('countdowns', () => {
  it('run from each pizza’s own times and put what is due first on top', () => {
    const now = makeNow({
      pizzas: [pizza('a', { launchedAt: 3300, turnedAt: 3510 }), pizza('b', { launchedAt: 3580 })],
      onStone: [lying('b', 3580), lying('a', 3300)],
    });
    expect(onStone(now, 3600).map(({ id, turnIn, offIn }) => [id, turnIn, offIn])).toEqual([
      ['a', null, 150],
      ['b', 190, 430],
    ]);
  });
  it('go below zero once due', () => {
    const now = makeNow({ pizzas: [pizza('a', { launchedAt: 3300 })], onStone: [lying('a', 3300)] });
    expect(onStone(now, 3600)[0]?.turnIn).toBe(-90);
  });
  it('need no turn where the pizza has none, and no name where nobody announced it', () => {
    const now = makeNow({ onStone: [{ pizza: null, launchedAt: 3500, turnAt: null, offAt: 3900 }] });
    expect(onStone(now, 3600)[0]).toMatchObject({ id: null, name: 'the pizza', turnIn: null, offIn: 300 });
  });
});

describe('the run ahead', () => {
  const run = [pizza('a', { name: 'A', offAfter: 400 }), pizza('b', { name: 'B', offAfter: 500 })];
  it('starts when the stone is ready and leaves it time between', () => {
    const bakes = runAhead(makeNow({ pizzas: run, nextLaunchAt: 3900 }), 3600);
    expect(bakes[0]).toEqual({ id: 'a', name: 'A', from: 3900, to: 4300 });
    expect(bakes[1]?.from).toBeGreaterThan(4300);
    expect(bakes[1]).toMatchObject({ id: 'b', to: (bakes[1]?.from ?? 0) + 500 });
  });
  it('says nothing where nothing can be said', () => {
    expect(runAhead(makeNow({ pizzas: run, nextLaunchAt: null }), 3600)).toEqual([]);
  });
  it('given a recording that is over, promises no launch', () => {
    const ended = makeNow({ pizzas: run, nextLaunchAt: 3900, rehearsal: recording({ ended: true }) });
    expect(nextLaunchAt(ended, 3600)).toBeNull();
    expect(runAhead(ended, 3600)).toEqual([]);
  });
  it('never plans into the past', () => {
    expect(nextLaunchAt(makeNow({ nextLaunchAt: 3500 }), 3600)).toBe(3600);
  });
});
