import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MAX_PIZZAS } from '../../shared/cook/bakes.ts';
import { foldEvents, reduce, startCook, type Cook } from '../../shared/cook/reduce.ts';
import { pizzasOf, unannounced } from '../../shared/cook/run.ts';
import { DEFAULT_BAKE, DEFAULT_TARGETS } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import { forAll } from '../support/property.ts';

const pizza = fc.constantFrom('p1', 'p2', 'p3', 'capers');
const anyPizza = fc.option(pizza, { nil: undefined });
const seconds = fc.integer({ min: 5, max: 900 });
const event: fc.Arbitrary<CookEvent> = fc.oneof(
  fc.record({
    event: fc.constant('launch' as const),
    pizza: anyPizza,
    offAfter: fc.option(seconds, { nil: undefined }),
  }),
  fc.record({ event: fc.constant('turn' as const), pizza: anyPizza }),
  fc.record({ event: fc.constant('off' as const), pizza: anyPizza, ago: fc.constantFrom(undefined, 5) }),
  fc.record({
    event: fc.constant('bake-times' as const),
    pizza: anyPizza,
    offAfter: seconds,
    turnAfter: fc.constantFrom(null, 100),
  }),
  fc.record({
    event: fc.constant('answer' as const),
    noticed: fc.constantFrom('launch' as const, 'off' as const),
    at: seconds,
    yes: fc.boolean(),
    pizza: anyPizza,
  }),
  fc
    .integer({ min: 200, max: 280 })
    .map((low) => ({ event: 'targets' as const, stone: [low, low + 30] as [number, number] })),
  fc.record({ event: fc.constant('remove-pizza' as const), pizza }),
  fc.constant({ event: 'note' as const, note: 'windy' }),
);
/** Events with ids of their own, one every 30 s. */
const events = fc
  .array(event, { minLength: 1, maxLength: 25 })
  .map((all) => all.map((each, i) => ({ ...each, id: `e${i + 1}`, t: 30 * i })));

const ANNOUNCED = [0, 1].map((place) => unannounced(`p${place + 1}`, place, DEFAULT_BAKE));
const fold = (all: readonly (CookEvent & { t: number })[]): Cook =>
  all.reduce(reduce, startCook(DEFAULT_TARGETS));
/** Everything but the record. */
const meaning = (cook: Cook) => ({
  bakes: cook.bakes,
  targets: cook.targets,
  pizzas: pizzasOf(cook, ANNOUNCED, DEFAULT_BAKE),
});

describe('the fold of a cook', () => {
  it('given an event that is undone at any later moment, makes what it makes without that event', () => {
    forAll({ numRuns: 500 }, events, fc.nat(), fc.nat(), (all, which, when) => {
      const at = which % all.length;
      const after = at + 1 + (when % (all.length - at));
      const undo = { event: 'undo' as const, of: all[at]?.id ?? '', t: 30 * after, id: 'u1' };
      const undone = fold([...all.slice(0, after), undo, ...all.slice(after)]);
      expect(meaning(undone)).toEqual(meaning(fold(all.filter((_, i) => i !== at))));
      expect(undone.entries.filter((entry) => entry.undone).map(({ id }) => id)).toEqual([all[at]?.id]);
    });
  });

  it('given events and undos one by one, of undos too and of any id twice, makes what they make together', () => {
    const undo = fc.nat(9).map((of) => ({ event: 'undo' as const, of: `e${of}` }));
    const any = fc.array(fc.tuple(fc.oneof(event, undo), fc.nat(9)), { maxLength: 25 });
    forAll({ numRuns: 500 }, any, (all) => {
      const cook = fold(all.map(([each, id], i) => ({ ...each, id: `e${id}`, t: 30 * i })));
      const anew = cook.entries.map((entry) => ({ ...entry, undone: false }));
      expect(cook).toEqual(foldEvents(DEFAULT_TARGETS, anew));
    });
  });

  it('given a note that is undone, goes through nothing again', () => {
    const before = fold([
      { event: 'launch', pizza: 'p1', id: 'e1', t: 0 },
      { event: 'note', note: 'windy', id: 'e2', t: 1 },
    ]);
    expect(reduce(before, { event: 'undo', of: 'e2', t: 2 }).bakes).toBe(before.bakes);
  });

  it('given more launches than anybody makes, has no pizzas beyond the most', () => {
    const all = Array.from({ length: 3 * MAX_PIZZAS }, (_, i) => i);
    const cook = fold(all.map((i) => ({ event: 'launch', pizza: `x${i}`, t: i })));
    expect(cook.bakes).toHaveLength(MAX_PIZZAS);
    expect(cook.entries).toHaveLength(all.length);
  });

  it('given an undo that is undone itself, makes what it makes without both', () => {
    forAll({}, events, fc.nat(), (all, which) => {
      const of = all[which % all.length]?.id ?? '';
      const undone = fold([
        ...all,
        { event: 'undo', of, t: 1000, id: 'u1' },
        { event: 'undo', of: 'u1', t: 1001, id: 'u2' },
      ]);
      expect(meaning(undone)).toEqual(meaning(fold(all)));
    });
  });

  it('given its entries as they were kept, makes the same', () => {
    forAll({}, events, fc.array(fc.nat(24), { maxLength: 5 }), (all, undone) => {
      const undos = undone.map((i, n) => ({
        event: 'undo' as const,
        of: `e${i + 1}`,
        t: 1000 + n,
        id: `u${n}`,
      }));
      const live = fold([...all, ...undos]);
      expect(foldEvents(DEFAULT_TARGETS, live.entries)).toEqual(live);
    });
  });

  it('writes to nothing that it was given', () => {
    forAll({ numRuns: 30 }, events, (all) => {
      const before = fold(all);
      const text = JSON.stringify(before);
      fold([...all, { event: 'undo', of: 'e1', t: 2000 }]);
      reduce(before, { event: 'undo', of: 'e1', t: 2000 });
      expect(JSON.stringify(before)).toBe(text);
    });
  });
});

const launch = (id: string, t: number, more: object = {}) => ({
  event: 'launch' as const,
  pizza: 'p1',
  id,
  t,
  ...more,
});

describe('the pizzas of a cook', () => {
  const pizzas = (all: readonly (CookEvent & { t: number })[]) => meaning(fold(all)).pizzas;

  it('given a launch that is undone and made again, know nothing of the turn of the first', () => {
    const first = [launch('e1', 10), { event: 'turn' as const, pizza: 'p1', id: 'e2', t: 200 }];
    const [p1] = pizzas([...first, { event: 'undo', of: 'e1', t: 210, id: 'e3' }, launch('e4', 220)]);
    expect(p1).toMatchObject({ launchedAt: 220, turnedAt: null, offAt: null });
  });

  it('given times that were moved twice and one move undone, have those of the other', () => {
    const times = (id: string, offAfter: number, t: number) => ({
      event: 'bake-times' as const,
      pizza: 'p1',
      offAfter,
      id,
      t,
    });
    const moved = [launch('e1', 10, { offAfter: 400 }), times('e2', 460, 60), times('e3', 520, 90)];
    expect(pizzas(moved)[0]?.offAfter).toBe(520);
    expect(pizzas([...moved, { event: 'undo', of: 'e3', t: 100, id: 'e4' }])[0]?.offAfter).toBe(460);
    expect(pizzas([...moved, { event: 'undo', of: 'e2', t: 100, id: 'e4' }])[0]?.offAfter).toBe(520);
  });

  it('given a pizza that nobody announced, have it as long as its launch stands', () => {
    const odd = launch('e1', 10, { pizza: 'p5' });
    expect(pizzas([odd]).map(({ id, name }) => [id, name])).toContainEqual(['p5', 'Pizza 5']);
    expect(pizzas([odd, { event: 'undo', of: 'e1', t: 20 }])).toHaveLength(ANNOUNCED.length);
  });

  it('given two at one place, stand in one order however they were announced', () => {
    const two = ['p10', 'p2'].map((id) => unannounced(id, 0, DEFAULT_BAKE));
    for (const announced of [two, [...two].reverse()])
      expect(pizzasOf(fold([]), announced, DEFAULT_BAKE).map(({ id }) => id)).toEqual(['p2', 'p10']);
  });
});
