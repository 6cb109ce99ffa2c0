import { describe, expect, it } from 'vitest';
import { emissivity } from '../../server/conversion/emissivity.ts';
import { infraredRead, SURFACES, surfaceCelsius } from '../../shared/evening/surface.ts';

/** Grey surface, total radiation, worked out apart from this code: true °C, ε, reflected, read at ε_set 1 and at 0.95 with 20 °C assumed. */
const ROWS = [
  [270, 0.95, 20, 263.68, 270.0],
  [270, 0.92, 20, 259.77, 266.03],
  [270, 0.9, 20, 257.12, 263.34],
  [270, 0.95, 250, 269.05, 275.46],
  [270, 0.9, 250, 268.1, 274.49],
  [270, 0.2, 20, 117.61, 121.07],
  [270, 0.2, 250, 254.18, 260.35],
] as const;

describe('emissivity', () => {
  it.each(ROWS)('%f °C, ε %f, reflecting %f °C', (truth, ε, reflected, atOne, at95) => {
    // A hundredth read off a mirror is a twentieth of a degree of the surface.
    const tolerance = 0.02 / Math.min(1, ε * 2);
    const by = (read: number, emissivitySet: number): number =>
      surfaceCelsius(read, { emissivity: ε, emissivitySet, reflected }) ?? Number.NaN;
    expect(Math.abs(by(atOne, 1) - truth)).toBeLessThanOrEqual(tolerance);
    expect(Math.abs(by(at95, 0.95) - truth)).toBeLessThanOrEqual(tolerance);
  });

  it('agrees with the worked examples', () => {
    const plate = { emissivity: 0.92, emissivitySet: 1 };
    expect(surfaceCelsius(260, { ...plate, reflected: 20 })).toBeCloseTo(270.23, 1);
    expect(surfaceCelsius(260, { ...plate, reflected: 250 })).toBeCloseTo(260.84, 1);
    const again = { emissivity: 0.9, emissivitySet: 0.95, reflected: 25, reflectedSet: 25 };
    expect(surfaceCelsius(258, again)).toBeCloseTo(264.52, 1);
  });

  it('doubts bare metal and takes stone at its word', () => {
    const of = (surface: string): string | undefined => emissivity.prepare({ surface })(250, null).doubt;
    for (const stone of ['cordierite', 'fireclay', 'ceramic', 'glazed']) expect(of(stone)).toBeUndefined();
    for (const metal of ['bare-steel', 'stainless', 'aluminium']) expect(of(metal)).toMatch(/mirrors/);
    expect(of('a new one')).toMatch(/not known/);
    expect(emissivity.prepare({ emissivity: 0.3 })(250, null).doubt).toMatch(/mirrors/);
    expect(emissivity.prepare({ emissivity: 0.9 })(250, null).doubt).toBeUndefined();
  });

  it('has no temperature where the reflection alone is more', () => {
    expect(emissivity.prepare({ surface: 'aluminium', reflected: 400 })(60, null).celsius).toBeNull();
  });

  it('has each surface once, with its source', () => {
    expect(new Set(SURFACES.map((surface) => surface.id)).size).toBe(SURFACES.length);
    for (const { source } of SURFACES) expect(source).not.toBe('');
  });
});

it('given what an instrument reads, corrected for the surface and taken back, is what it read', () => {
  for (const { emissivity: surface } of SURFACES.filter((row) => row.emissivity > 0.6))
    for (const read of [20, 150, 270, 420])
      for (const reflected of [20, 250]) {
        const at = { emissivity: surface, emissivitySet: 0.95, reflected };
        const celsius = surfaceCelsius(read, at);
        if (celsius !== null) expect(infraredRead(celsius, at)).toBeCloseTo(read, 6);
      }
});
