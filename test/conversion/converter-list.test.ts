import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CONVERTERS, prepare } from '../../server/conversion/converter-list.ts';
import { forAll } from '../support/property.ts';

const numRuns = Number(process.env['FUZZ_RUNS'] ?? 500);

const points = [
  { celsius: 25, ohm: 100_000 },
  { celsius: 100, ohm: 6_000 },
  { celsius: 200, ohm: 500 },
];
/** Options of each kind; the test below asks for a kind that has none. */
const OPTIONS: readonly { kind: string; [option: string]: unknown }[] = [
  ...['K', 'J', 'N', 'T'].map((type) => ({ kind: 'thermocouple', type })),
  { kind: 'platinum', r0: 100 },
  { kind: 'platinum', r0: 1000, lead: 2 },
  { kind: 'ntc', model: 'steinhart-hart', a: 1.129148e-3, b: 2.34125e-4, c: 8.76741e-8 },
  { kind: 'ntc', model: 'beta', beta: 3950, r0: 100_000 },
  { kind: 'ntc', model: 'points', points },
  { kind: 'emissivity', surface: 'cordierite' },
  { kind: 'emissivity', surface: 'aluminium', reflected: 250 },
];

describe.each(OPTIONS)('%j', (conversion) => {
  it('gives a temperature that can be or none with the reason, whatever comes in', () => {
    const convert = prepare(conversion);
    const anything = fc.oneof(fc.double(), fc.double({ min: -100, max: 1e6 }));
    forAll({ numRuns, seed: 20260502 }, anything, fc.option(anything), (value, junction) => {
      const { celsius, fault } = convert(value, junction);
      if (celsius === null) expect(fault).toEqual(expect.any(String));
      else expect(Number.isFinite(celsius) && celsius >= -273.15).toBe(true);
    });
  });
});

it('knows every kind, and refuses others by name', () => {
  const tried = new Set(OPTIONS.map(({ kind }) => kind));
  expect([...tried].sort()).toEqual(CONVERTERS.map(({ kind }) => kind).sort());
  expect(() => prepare({ kind: 'slope' })).toThrow(/no conversion "slope"/);
});
