import { beforeEach, expect, test } from 'vitest';
import type { GrillLesson, GrillPrior } from '../../../shared/engine.ts';
import { engine } from '../../../server/engine/cook-engine.ts';
import { GrillService, type Teaching } from '../../../server/cook/live/grill-service.ts';
import type { Store } from '../../../server/store/store.ts';
import { warmUp } from '../../engine/evening.ts';
import { scratch } from '../../support/server.ts';
import { storeIn } from '../../support/session.ts';

const BAND = [255, 285] as const;

/** A warm-up on the bank's `i`th grill, as something to learn from. */
function teaching(i: number, id: number): Teaching {
  const state = warmUp(i, id, null, 5);
  return { id, startedAt: 1000 * id, lesson: (prior) => engine.lesson(state, prior) };
}
const first = teaching(4, 1);
const second = teaching(4, 2);
/** A steel plate instead of a brick of 28 mm. */
const other = teaching(3, 3);

let store: Store;
let grills: GrillService;
beforeEach(() => {
  store = storeIn(scratch());
  grills = new GrillService(store);
  return () => store.close();
});
const onlyOne = async () => (await grills.list(BAND)).grills[0];

test('given two cooks of a grill, learnt from, minutes, lag and offset are known, each with its spread', async () => {
  await grills.learnFrom(first);
  const once = (await onlyOne())?.known;
  await grills.learnFrom(second);
  const twice = (await onlyOne())?.known;
  expect([once?.cooks, twice?.cooks]).toEqual([1, 2]);
  expect(twice?.lag.value).toBeGreaterThan(3);
  expect(twice?.lag.value).toBeLessThan(45);
  expect(twice?.bites.value).toBeGreaterThan(0.5);
  expect(twice?.ready.value).toBeGreaterThan(15);
  const cooks = (await onlyOne())?.cooks ?? [];
  expect(cooks.map(({ minutes }) => minutes !== null && minutes > 15 && minutes < 50)).toEqual([true, true]);
  expect(cooks.every(({ outside }) => outside !== null && Math.abs(outside) < 40)).toBe(true);
  for (const figure of [twice?.lag, twice?.ready, twice?.bites]) {
    expect(figure?.error).toBeGreaterThan(0);
    expect(figure?.error).toBeLessThan(figure?.value ?? 0);
  }
});

test('given a cook that taught, learnt from again as an import of it, it does not teach twice', async () => {
  await grills.learnFrom(first);
  await grills.learnFrom({ ...first, id: 9 });
  expect((await onlyOne())?.known?.cooks).toBe(1);
});

test('given a cook of another stone, learnt from, it is set aside; the person says what it was', async () => {
  await grills.learnFrom(first);
  await grills.learnFrom(second);
  const before = grills.prior();
  await grills.learnFrom(other);
  expect(grills.prior()).toEqual(before);
  expect((await onlyOne())?.aside.map((entry) => entry.cook)).toEqual([3]);

  const name = (await grills.list(BAND)).current;
  grills.act({ do: 'settle', name, cook: 3, as: 'odd' });
  expect((await onlyOne())?.aside).toEqual([]);
  expect(grills.prior()).toEqual(before);

  await grills.learnFrom(other);
  grills.act({ do: 'settle', name, cook: 3, as: 'changed' });
  expect(await onlyOne()).toMatchObject({ known: { cooks: 1 }, aside: [] });
  expect(() => grills.act({ do: 'settle', name, cook: 3, as: 'odd' })).toThrow(/No cook 3/);
});

test('given two grills, each has its own past; forgetting empties one of them', async () => {
  await grills.learnFrom(first);
  grills.act({ do: 'add', name: 'Small one' });
  expect(grills.prior()).toBeNull();
  await grills.learnFrom(other);
  expect((await grills.list(BAND)).grills.map(({ known }) => known?.cooks)).toEqual([1, 1]);
  grills.act({ do: 'choose', name: 'My grill' });
  expect(() => grills.act({ do: 'remove', name: 'My grill' })).toThrow(/current grill/);
  grills.act({ do: 'forget', name: 'My grill' });
  expect(grills.prior()).toBeNull();
  grills.act({ do: 'remove', name: 'Small one' });
  expect((await grills.list(BAND)).grills.map(({ name }) => name)).toEqual(['My grill']);
  expect(() => grills.act({ do: 'add', name: 'My grill' })).toThrow(/already/);
});

test('given what was learnt before grills had names, it is of the first', () => {
  const prior: GrillPrior = { version: 2, cooks: 3, values: {} };
  store.putSetting('grill-prior', prior);
  expect(grills.prior()).toEqual(prior);
});

test('given a grill forgotten while a cook of it is learnt from, the lesson does not bring back what was forgotten', async () => {
  await grills.learnFrom(first);
  const learning = grills.learnFrom(second);
  await Promise.resolve();
  grills.forgetCurrent();
  await learning;
  expect((await onlyOne())?.known?.cooks ?? 0).toBeLessThan(2);
});

test('given a whole warm-up, learnt from, it is fitted in many pieces, and others have their turn between', async () => {
  const work = second.lesson(null);
  let pieces = 0;
  while (!work.next().done) pieces += 1;
  expect(pieces).toBeGreaterThan(30);

  let turns = 0;
  const timer = setInterval(() => (turns += 1), 1);
  const slow = function* (): Generator<void, GrillLesson | null, void> {
    for (let piece = 0; piece < 60; piece++) {
      const until = performance.now() + 5;
      while (performance.now() < until);
      yield;
    }
    return null;
  };
  await grills.learnFrom({ id: 1, startedAt: 1, lesson: slow });
  clearInterval(timer);
  expect(turns).toBeGreaterThan(5);
});
