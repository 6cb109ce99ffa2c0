import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { liveMessage } from '../../shared/api/live.ts';
import { hasShape, type Shape } from '../../web/shape/shape.ts';
import { alert, channel, forecast, makeNow, pizza } from './support/now.ts';
import { forAll } from '../support/property.ts';

// Plain JavaScript, since it runs before anything is built: it has no types of its own.
const { shapeOf } = (await import(new URL('../../web/shape/shapes.mjs', import.meta.url).href)) as {
  shapeOf(schema: unknown): Shape;
};
const shape = shapeOf(z.toJSONSchema(liveMessage));

const now = makeNow({
  channels: [channel('stone', 263), channel('dome', null)],
  forecast: forecast({ readyAt: 3900, peak: { celsius: 310, at: 4500 } }),
  alerts: [alert('overshot', { why: { stone: 300, side: 'above' } })],
  pizzas: [pizza('a', { name: 'Salami', launchedAt: 3500 })],
  onStone: [{ pizza: 'a', launchedAt: 3500, turnAt: 3710, offAt: 3950 }],
});
const messages = [
  { type: 'snapshot', seq: 4, run: 'r', now },
  { type: 'change', seq: 5, now: { t: 7, alerts: now.alerts }, readings: [['stone', 7, 263, 'good']] },
  { type: 'heartbeat', seq: 5, at: now.at, t: null },
];

type Path = readonly (string | number)[];
const pathsOf = (value: unknown, path: Path = []): Path[] => [
  path,
  ...(typeof value === 'object' && value !== null
    ? Object.entries(value).flatMap(([key, each]) => pathsOf(each, [...path, key]))
    : []),
];
function withAt(value: unknown, [key, ...rest]: Path, put: unknown): unknown {
  if (key === undefined) return put;
  const copy = structuredClone(value) as Record<string, unknown>; // a path leads through objects and lists alone
  copy[key] = withAt(copy[key], rest, put);
  return copy;
}

/** What the schemas hold beyond a shape: bounds and order of numbers, and how a text is written. */
const isBeyond = (issue: z.core.$ZodIssue): boolean =>
  issue.code === 'invalid_format' ||
  issue.code === 'custom' ||
  ((issue.code === 'too_small' || issue.code === 'too_big') && issue.origin !== 'array');

/** Whether the schema takes it, its bounds apart, and has to put nothing in at `path` that was left out. */
function isOfShape(sent: unknown, path: Path): boolean {
  const at = (value: unknown): unknown => path.reduce((v, key) => (v as never)?.[key], value);
  const { data, error } = liveMessage.safeParse(sent);
  return error ? error.issues.every(isBeyond) : at(data) === undefined || at(sent) !== undefined;
}

describe('the shape of the live messages', () => {
  it.each(messages)('given a message as it is sent ($type), has it', (message) => {
    expect(hasShape(message, shape)).toBe(true);
  });

  it('given any member of a message put wrong or left out, refuses what the schema refuses and nothing else', () => {
    const cases = messages.flatMap((message) => pathsOf(message).map((path) => ({ message, path })));
    const verdicts = { right: 0, wrong: 0 };
    forAll(
      { numRuns: 2000 },
      fc.constantFrom(...cases),
      fc.constantFrom<unknown>(null, undefined, 'x', 7, true, [], {}, ['stone']),
      ({ message, path }, put) => {
        const sent = withAt(message, path, put);
        const isRight = isOfShape(sent, path);
        verdicts[isRight ? 'right' : 'wrong']++;
        expect(hasShape(sent, shape), JSON.stringify([path, put])).toBe(isRight);
      },
    );
    expect(Math.min(verdicts.right, verdicts.wrong)).toBeGreaterThan(50);
  });

  it('given a schema that says what a shape has no word for, is not made', () => {
    expect(() => shapeOf(z.toJSONSchema(z.object({ any: z.unknown() })))).toThrow(/no word/);
    expect(() => shapeOf({ not: { type: 'string' } })).toThrow('no word for not');
  });
});
