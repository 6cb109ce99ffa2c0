import { describe, expect, it } from 'vitest';
import { nextAct, nextLaunchAt, onStone, runAhead } from '../../web/stores/pizzas.ts';
import { forecast, makeNow, pizza } from './support/now.ts';

const lying = (id: string, launchedAt: number) => ({
  pizza: id,
  launchedAt,
  turnAt: launchedAt + 210,
  offAt: launchedAt + 450,
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

describe('the next act', () => {
  it('is launch, then turn, then off', () => {
    expect(nextAct(makeNow(), 3600)).toBe('launch');
    const onIt = (turnedAt: number | null) =>
      makeNow({ pizzas: [pizza('a', { launchedAt: 3500, turnedAt })], onStone: [lying('a', 3500)] });
    expect(nextAct(onIt(null), 3600)).toBe('turn');
    expect(nextAct(onIt(3700), 3720)).toBe('off');
  });
});

describe('the run ahead', () => {
  const run = [pizza('a', { name: 'A', offAfter: 400 }), pizza('b', { name: 'B', offAfter: 500 })];
  it('starts when the stone is ready and leaves it time between', () => {
    const bakes = runAhead(makeNow({ pizzas: run, forecast: forecast({ readyAt: 3900 }) }), 3600);
    expect(bakes[0]).toEqual({ id: 'a', name: 'A', from: 3900, to: 4300 });
    expect(bakes[1]?.from).toBeGreaterThan(4300);
    expect(bakes[1]).toMatchObject({ id: 'b', to: (bakes[1]?.from ?? 0) + 500 });
  });
  it('waits for the pizza that lies there, and says nothing where nothing can be said', () => {
    const busy = makeNow({ pizzas: run, onStone: [lying('x', 3500)] });
    expect(nextLaunchAt(busy, 3600)).toBeGreaterThan(3950);
    expect(runAhead(makeNow({ pizzas: run, forecast: null }), 3600)).toEqual([]);
  });
  it('never plans into the past', () => {
    expect(nextLaunchAt(makeNow({ forecast: forecast({ readyAt: 3500 }) }), 3600)).toBe(3600);
  });
});
