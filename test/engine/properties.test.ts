import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { EngineInput, EngineOutput } from '../../shared/engine.ts';
import { cookEvent } from '../../shared/event.ts';
import { fromFahrenheit, toFahrenheit } from '../../shared/units.ts';
import { ALERTS } from '../../shared/alert/kinds.ts';
import { engine, type EngineState } from '../../server/engine/cook-engine.ts';
import { DOME, fresh, readings, run, STONE } from './evening.ts';
import { forAll, real } from '../support/property.ts';

const EVENING = readings(STONE, DOME, { every: 4, noise: 0.3, seed: 5 });
const text = (outputs: readonly EngineOutput[]): string =>
  outputs.map((output) => JSON.stringify(output)).join('\n');
const WHOLE = text(run(fresh(), EVENING));
const anywhere = fc.integer({ min: 1, max: EVENING.length - 1 });

test('the evening has something of everything in it', () => {
  const kinds = new Set([...WHOLE.matchAll(/"(?:state|alert|event)":"([a-z-]+)"/g)].map(([, name]) => name));
  for (const name of ['climbing', 'ready', 'baking', 'stone-ready', 'lid-open', 'launch', 'off'])
    expect(kinds).toContain(name);
});

test('no line depends on a later one: the analysis of a prefix is a prefix of the analysis', () => {
  forAll({ numRuns: 15 }, anywhere, (n) => {
    expect(WHOLE.startsWith(text(run(fresh(), EVENING.slice(0, n))))).toBe(true);
  });
});

test('stopped anywhere, written as JSON and read again, it goes on identically', () => {
  forAll({ numRuns: 10 }, anywhere, (n) => {
    const state = fresh();
    const before = run(state, EVENING.slice(0, n));
    const again = JSON.parse(JSON.stringify(state)) as EngineState; // the state is plain JSON, which is what is shown here
    expect(text([...before, ...run(again, EVENING.slice(n))])).toBe(WHOLE);
  });
});

test('ticks in between change nothing', () => {
  forAll({ numRuns: 10 }, fc.integer({ min: 1, max: 40 }), real(0.3, 30), (cut, tick) => {
    // With silences, so that there is something to notice between inputs.
    const gappy = EVENING.filter((_, i) => i % (cut + 40) > cut);
    const ticking: EngineInput[] = gappy.flatMap((input, i) => {
      const next = gappy[i + 1]?.t ?? input.t;
      const ticks: EngineInput[] = [];
      for (let t = input.t + tick; t < next; t += tick) ticks.push({ kind: 'tick', t });
      return [input, ...ticks];
    });
    expect(text(run(fresh(), ticking))).toBe(text(run(fresh(), gappy)));
  });
});

/** Without the times, which are shifted. */
const textOf = (outputs: readonly EngineOutput[], shift: number) =>
  outputs.flatMap((output): [number, string][] => {
    if (output.type === 'state') return [[Math.round(output.t - shift), output.state]];
    if (output.type === 'alert') return [[Math.round(output.t - shift), output.alert]];
    return output.type === 'noticed' ? [[Math.round(output.at - shift), output.event]] : [];
  });

test('given a cook measured in °F, gives the same answers', () => {
  const through = EVENING.map((input) =>
    input.kind === 'reading' && input.celsius !== null
      ? { ...input, celsius: fromFahrenheit(toFahrenheit(input.celsius)) }
      : input,
  );
  expect(textOf(run(fresh(), through), 0)).toEqual(textOf(run(fresh(), EVENING), 0));
});

test('given a cook shifted in time, gives the same answers shifted alike', () => {
  const base = textOf(run(fresh(), EVENING), 0);
  for (const shift of [1, 137, 4096, 65_536]) {
    const later = EVENING.map((input) => ({ ...input, t: input.t + shift }));
    expect(textOf(run(fresh(), later), shift)).toEqual(base);
  }
});

test('given readings twice over, gives the same answers', () => {
  const doubled = EVENING.flatMap((input) => [input, input]);
  expect(text(run(fresh(), doubled))).toBe(WHOLE);
});

test('late readings are harmless: nothing runs back and hardly anything changes', () => {
  const shuffled = EVENING.map((input, i) =>
    i % 9 === 4 ? (EVENING[i + 1] ?? input) : i % 9 === 5 ? (EVENING[i - 1] ?? input) : input,
  );
  const outputs = run(fresh(), shuffled);
  outputs.forEach((output, i) => expect(output.t).toBeGreaterThanOrEqual(outputs[i - 1]?.t ?? 0));
  const states = (of: readonly EngineOutput[]) =>
    of.flatMap((output) => (output.type === 'state' ? [output.state] : []));
  expect(states(outputs)).toEqual(states(run(fresh(), EVENING)));
});

const number = fc.oneof(
  fc.double(),
  real(-50, 600),
  fc.constantFrom(0, -0, 1e300, -1e300, Infinity, -Infinity, Number.NaN),
);
const event = fc
  .oneof(
    fc.record({
      event: fc.constantFrom('launch', 'off'),
      ago: fc.integer({ min: 0, max: 3600 }),
      id: fc.constantFrom('a', 'b'),
    }),
    fc.record({
      event: fc.constantFrom('vent', 'fuel', 'lid-open', 'lid-closed', 'turn', 'fire-lit', 'note'),
    }),
    fc.record({
      event: fc.constant('shelve'),
      alert: fc.constantFrom(...ALERTS),
      seconds: fc.integer({ min: 10, max: 7200 }),
    }),
    fc.record({ event: fc.constantFrom('acknowledge', 'unshelve'), alert: fc.constantFrom(...ALERTS) }),
    fc.record({ event: fc.constant('undo'), of: fc.constantFrom('a', 'b') }),
    fc.record({
      event: fc.constant('answer'),
      noticed: fc.constantFrom('launch', 'off', 'lid-open'),
      at: real(0, 4000),
      yes: fc.boolean(),
    }),
    fc.record({ event: fc.constant('targets'), stone: fc.constantFrom([200, 230], [300, 301]) }),
  )
  .map((event) => cookEvent.parse(event));
const input: fc.Arbitrary<EngineInput> = fc.oneof(
  fc.record({
    kind: fc.constant('reading' as const),
    t: fc.oneof(number, real(0, 4000)),
    channel: fc.constantFrom('stone', 'dome', 'nowhere'),
    celsius: fc.option(number),
    quality: fc.constantFrom('good' as const, 'uncertain' as const, 'bad' as const),
  }),
  fc.record({ kind: fc.constant('tick' as const), t: real(0, 1e6) }),
  fc.record({ kind: fc.constant('event' as const), t: real(0, 4000), event }),
);

/** JSON turns NaN and Infinity into null: what comes back equal had none. */
const isPlain = (value: unknown): boolean => {
  if (typeof value === 'number') return Number.isFinite(value);
  return typeof value !== 'object' || value === null || Object.values(value).every(isPlain);
};

test('any input at all never throws, never yields NaN or Infinity', () => {
  forAll({ numRuns: 150 }, fc.array(input, { maxLength: 120 }), (inputs) => {
    const state = fresh();
    const outputs = run(state, inputs);
    expect(isPlain(outputs)).toBe(true);
    expect(isPlain(engine.view(state))).toBe(true);
    expect(isPlain(state)).toBe(true);
    expect(isPlain(engine.learned(state))).toBe(true);
  });
});
