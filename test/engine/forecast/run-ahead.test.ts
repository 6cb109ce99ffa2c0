import { describe, expect, test } from 'vitest';
import { engine } from '../../../server/engine/cook-engine.ts';
import { heldStone } from '../../../server/engine/forecast/held-stone.ts';
import { warmUp } from '../evening.ts';

const band = [255, 285] as const;
const bake = { band, seconds: 420 };

describe('a stone that is held in the middle of its band', () => {
  const stone = heldStone(null, band);
  const first = stone.next(bake);

  test('given a pizza that any of it suits, is launched at once in the middle, and is off after its own time', () => {
    expect(first).toMatchObject({ launchAt: 0, offAt: 420, miss: 0 });
    expect(first.stone).toBeCloseTo(270, 0);
  });

  test('given the same question twice, answers the same: asking changes nothing', () => {
    const again = stone.next(bake);
    expect(again.rest.next(bake).launchAt).toBe(first.rest.next(bake).launchAt);
  });

  test('given the pizza after it, waits; one that wants the top of the band waits longer or misses it', () => {
    const second = (low: number, high: number) => first.rest.next({ band: [low, high], seconds: 420 });
    const [cool, hot] = [second(255, 264), second(266, 285)];
    expect(cool.launchAt).toBeGreaterThan(first.offAt);
    expect(hot.launchAt).toBeGreaterThanOrEqual(cool.launchAt);
    expect(hot.launchAt - cool.launchAt + hot.miss).toBeGreaterThan(cool.miss);
  });

  test('given a longer bake, has the stone back no sooner', () => {
    const after = (seconds: number): number =>
      stone.next({ band, seconds }).rest.next(bake).launchAt - seconds;
    expect(after(600)).toBeGreaterThanOrEqual(after(200));
  });
});

describe('a stone that is followed', () => {
  const state = warmUp(4, 1);

  test('given a pizza on it and a hotter dome, is right for the next one no later', () => {
    const baking = structuredClone(warmUp(0, 1));
    engine.step(baking, { kind: 'event', t: 3001, event: { event: 'launch', pizza: 'p1', offAfter: 420 } });
    const own = { band: baking.targets.stone, seconds: 420 };
    const at = [240, 260, 280, 300].map((dome) => engine.ahead(baking, dome)?.next(own) ?? null);
    const reached = at.flatMap((launch) => (launch?.miss === 0 ? [launch.launchAt] : []));
    expect(reached.length).toBeGreaterThan(1);
    expect(reached).toEqual([...reached].sort((a, b) => b - a));
  });

  test('given a pizza on it, says nothing of a return before it is off', () => {
    const copy = structuredClone(state);
    engine.step(copy, { kind: 'event', t: 3001, event: { event: 'launch', pizza: 'p1', offAfter: 420 } });
    expect(engine.back(copy, bake)).toBeNull();
    expect(engine.ahead(copy, null)?.t).toBe(3001 + 420);
  });

  test('given a dome that nobody knows, says nothing', () => {
    const blind = structuredClone(state);
    blind.channels = blind.channels.filter(({ role }) => role !== 'dome');
    expect(engine.ahead(blind, null)).toBeNull();
  });
});

describe('between two pizzas', () => {
  const state = warmUp(4, 1);
  const outputs = [
    { t: 3001, event: { event: 'launch', pizza: 'p1', offAfter: 400 } },
    { t: 3400, event: { event: 'off', pizza: 'p1' } },
  ] as const;
  for (const { t, event } of outputs) engine.step(state, { kind: 'event', t, event });
  // The surface as a pizza leaves it, under a dome that is cooler than it was.
  const lines = Array.from({ length: 60 }, (_, i) => 3402 + 2 * i).flatMap((t) => [
    ...engine.step(state, {
      kind: 'reading',
      t,
      channel: 'stone',
      celsius: state.targets.stone[0] - 22 + (t - 3400) / 30,
      quality: 'good',
    }),
    ...engine.step(state, { kind: 'reading', t, channel: 'dome', celsius: 240, quality: 'good' }),
  ]);
  const advice = lines.flatMap((line) => (line.type === 'advice' && line.back ? [line] : []));

  test('given a stone below its band, each advice says when it is back', () => {
    expect(advice.length).toBeGreaterThan(0);
    for (const { t, back, why } of advice) {
      expect(back?.at).toBeGreaterThanOrEqual(t);
      expect(why).toMatch(/Stone back in about \d+ min\./);
    }
  });

  test('given a hotter dome that it names, has the stone back sooner and leaves what the grill may have', () => {
    for (const { back } of advice) {
      if (!back?.sooner) continue;
      expect(back.at - back.sooner.at).toBeGreaterThanOrEqual(60);
      expect(back.sooner.dome).toBeLessThanOrEqual((state.targets.domeLimit ?? Infinity) - 20);
    }
  });
});
