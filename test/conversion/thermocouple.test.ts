import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  THERMOCOUPLE_RANGE,
  hotJunction,
  millivolts,
  thermocouple,
} from '../../server/conversion/thermocouple.ts';
import {
  REFERENCE_FUNCTIONS,
  THERMOCOUPLE_TYPES,
  type ThermocoupleType,
} from '../../server/conversion/thermocouple-reference.ts';

/** The published files (fixtures/tables/its-90/origin.md). */
const published = (type: ThermocoupleType): string =>
  readFileSync(
    new URL(`../../fixtures/tables/its-90/type_${type.toLowerCase()}.tab`, import.meta.url),
    'latin1',
  );

/** Rows "t  E(t) E(t ± 1) … E(t ± 10)"; steps go away from 0 °C. */
function entriesOf(text: string): [celsius: number, millivolt: number][] {
  const table = text.slice(0, text.indexOf('****'));
  return table.split(/\r?\n/).flatMap((row) => {
    const [first, ...values] = row.trim().split(/\s+/);
    if (!/^-?\d+$/.test(first ?? '') || !values.every((value) => /^-?\d+\.\d{3}$/.test(value))) return [];
    const start = Number(first);
    const step = isDownward(text, row) ? -1 : 1;
    return values.map((value, i): [number, number] => [start + step * i, Number(value)]);
  });
}
/** Below 0 °C the columns are headed 0 −1 −2 … */
function isDownward(text: string, row: string): boolean {
  const headings = [...text.slice(0, text.indexOf(row)).matchAll(/C\s+0\s+(-?1)\s/g)];
  return headings.at(-1)?.[1] === '-1';
}

const numbersOf = (text: string): number[] => (text.match(/[-+]?\d+\.\d+E[-+]\d+/g) ?? []).map(Number);

describe.each(THERMOCOUPLE_TYPES)('type %s', (type) => {
  const text = published(type);
  const entries = entriesOf(text);

  it('has the coefficients as published', () => {
    const start = text.indexOf('name: reference function');
    const end = text.indexOf('approximate inverse', start);
    const ours = REFERENCE_FUNCTIONS[type].flatMap(({ c, exponential = [] }) => [...c, ...exponential]);
    expect(ours).toEqual(numbersOf(text.slice(start, end)));
  });

  it('gives every row of the printed table to its last digit', () => {
    expect(entries.length).toBeGreaterThan(600);
    const furthest = Math.max(...entries.map(([t, mV]) => Math.abs(millivolts(type, t) - mV)));
    expect(furthest).toBeLessThanOrEqual(0.000_51);
  });

  it('gives the temperature of every row back, as near as its last digit is worth', () => {
    const [low, high] = THERMOCOUPLE_RANGE[type];
    const rows = entries.filter(([t]) => t > low && t < high);
    expect(rows.length).toBeGreaterThan(500);
    for (const [t, mV] of rows) {
      const slope = millivolts(type, t + 0.5) - millivolts(type, t - 0.5) || 1;
      expect(Math.abs((hotJunction(type, mV) ?? Infinity) - t), `${mV} mV`).toBeLessThanOrEqual(
        0.0006 / slope,
      );
    }
  });

  it('goes there and back to a thousandth of a degree', () => {
    const [low, high] = THERMOCOUPLE_RANGE[type];
    for (let t = low; t <= high; t += 7.3) expect(hotJunction(type, millivolts(type, t))).toBeCloseTo(t, 4);
  });

  it('differs from the published inverse polynomials by no more than their stated error', () => {
    for (const { voltages, errors, d } of inversesOf(text)) {
      for (let share = 0.01; share < 1; share += 0.01) {
        const E = voltages[0] + share * (voltages[1] - voltages[0]);
        const theirs = d.reduceRight((sum, dᵢ) => sum * E + dᵢ, 0);
        const ours = hotJunction(type, E) ?? Infinity;
        // Their errors are printed with one digit.
        expect(theirs - ours).toBeGreaterThan(errors[0] - 0.005);
        expect(theirs - ours).toBeLessThan(errors[1] + 0.005);
      }
    }
  });
});

type Inverse = { voltages: [number, number]; errors: [number, number]; d: number[] };
/** Columns of the last section: one range each. */
function inversesOf(text: string): Inverse[] {
  const part = text.slice(text.indexOf('Inverse coefficients'));
  const rows = part.split(/\r?\n/).map((row) => row.trim());
  const numbers = (row: string | undefined): number[] =>
    (row?.match(/-?\d*\.\d*(?:E[-+]\d+)?/g) ?? []).map(Number);
  const after = (word: RegExp): [number[], number[]] => {
    const at = rows.findIndex((row) => word.test(row));
    return [numbers(rows[at]), numbers(rows[at + 1])];
  };
  const [vLow, vHigh] = after(/^Voltage/);
  const [eLow, eHigh] = after(/^Error/);
  const columns = rows.filter((row) => /^[-+]?\d\.\d+E/.test(row)).map(numbers);
  const found = vLow.map((low, k): Inverse => ({
    voltages: [low, vHigh[k] ?? Number.NaN],
    errors: [eLow[k] ?? Number.NaN, eHigh[k] ?? Number.NaN],
    d: columns.map((row) => row[k] ?? Number.NaN),
  }));
  expect(found.length).toBeGreaterThan(1);
  return found;
}

describe('the cold junction', () => {
  // NIST Monograph 175 functions, exact root; the third column is what adding degrees gives.
  it.each([
    [10, 28, 273.68, 274.22],
    [9.5, 25, 258.51, 258.88],
    [9.5639, 35, 270.0, 270.46],
    [0, 22, 22.0, 22.0],
    [-0.5, 25, 12.59, 12.21],
  ])('%f mV with the junction at %f °C is %f °C', (mV, junction, celsius, wrong) => {
    const found = thermocouple.prepare({ type: 'K' })(mV, junction).celsius ?? Number.NaN;
    expect(found).toBeCloseTo(celsius, 1);
    expect(Math.abs(found - celsius)).toBeLessThan(0.006);
    if (wrong !== celsius) expect(Math.abs(found - wrong)).toBeGreaterThan(0.3);
  });

  it('is not a slope: 41.276 µV/°C would read 246.0, 265.8, 295.8 °C at 250, 270, 300', () => {
    for (const [t, bySlope] of [
      [250, 246.0],
      [270, 265.8],
      [300, 295.8],
    ] as const) {
      const mV = millivolts('K', t);
      expect(mV / 0.041276).toBeCloseTo(bySlope, 1);
      expect(thermocouple.prepare({ type: 'K' })(mV, 0).celsius).toBeCloseTo(t, 3);
    }
  });

  it('may be fixed, and is missed when it does not come', () => {
    expect(thermocouple.prepare({ type: 'K', junction: 25 })(9.5, null).celsius).toBeCloseTo(258.51, 1);
    expect(thermocouple.prepare({ type: 'K' })(9.5, null)).toEqual({
      celsius: null,
      fault: 'the temperature of the cold junction is missing',
    });
  });

  it('has no temperature for a voltage beyond the type', () => {
    for (const mV of [60, -10, Infinity, Number.NaN])
      expect(thermocouple.prepare({ type: 'K' })(mV, 20).celsius).toBeNull();
    expect(thermocouple.prepare({ type: 'T' })(25, 20).fault).toMatch(/open circuit or wrong type/);
  });

  it('refuses options that are wrong, naming them', () => {
    expect(() => thermocouple.prepare({ type: 'Q' })).toThrow(/type/);
  });
});
