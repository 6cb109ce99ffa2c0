import { describe, expect, it } from 'vitest';
import {
  doughFrom,
  frictionFrom,
  iceFor,
  mixTemperature,
  waterFor,
} from '../../../server/evening/dough/water.ts';
import { differenceToFahrenheit, fromFahrenheit, toFahrenheit } from '../../../shared/units.ts';

describe('water temperature', () => {
  // Handbook section 10. The rows in °F are from trade pages; friction is a difference and is converted by 5/9 only.
  it.each([
    [80, 65, 75, 35, 65],
    [75, 65, 65, 8, 87],
  ])('in °F: dough %d, flour %d, room %d, friction %d → %d', (dough, flour, room, friction, want) => {
    const water = waterFor({
      dough: fromFahrenheit(dough),
      flour: fromFahrenheit(flour),
      room: fromFahrenheit(room),
      friction: (friction * 5) / 9,
    });
    expect(toFahrenheit(water)).toBeCloseTo(want, 9);
    expect(differenceToFahrenheit((friction * 5) / 9)).toBeCloseTo(friction, 9);
  });

  it.each([
    [24, 20, 22, 6, 24],
    [25, 20, 21, 12, 22],
    [24, 28, 30, 8, 6],
  ])('in °C: dough %d, flour %d, room %d, friction %d → %d', (dough, flour, room, friction, want) => {
    expect(waterFor({ dough, flour, room, friction })).toBeCloseTo(want, 9);
    expect(doughFrom(want, { flour, room, friction })).toBeCloseTo(dough, 9);
    expect(frictionFrom(dough, flour, room, want)).toBeCloseTo(friction, 9);
  });

  it('takes a preferment for a fourth temperature', () => {
    // By hand: 4 · 25 − 20 − 21 − 12 − 18 = 29
    expect(waterFor({ dough: 25, flour: 20, room: 21, friction: 12, preferment: 18 })).toBe(29);
  });

  it.each([
    [20, 30, 30, 8, 'have to be -8 °C, but it can be from 0 to 45 °C: cool the flour'],
    [30, 10, 10, 0, 'have to be 70 °C, but it can be from 0 to 45 °C: warm the flour'],
  ])('refuses dough %d of flour %d, room %d, friction %d', (dough, flour, room, friction, want) => {
    expect(() => waterFor({ dough, flour, room, friction })).toThrow(want);
  });

  it('says which dough can be had, and it can be had', () => {
    const known = { flour: 30, room: 30, friction: 8 };
    expect(() => waterFor({ dough: 20, ...known })).toThrow('from 22.7 to 37.7 °C can be had');
    expect(waterFor({ dough: 22.7, ...known })).toBeGreaterThanOrEqual(0);
  });

  it.each([
    [24, 22.3],
    [43, 33.4],
  ])(
    'heat balance of 500 g flour at 20 °C and 300 g water at %d °C is %d °C (handbook section 10)',
    (water, want) => {
      expect(mixTemperature(500, 20, 300, water)).toBeCloseTo(want, 1);
    },
  );

  it('ice brings tap water down: the heat it takes is the heat it is given', () => {
    const ice = iceFor(600, 4, 15);
    // kJ by hand: melting and warming the ice to 4 °C against cooling the rest from 15 °C
    expect(ice * (334 + 4.19 * 4)).toBeCloseTo((600 - ice) * 4.19 * 11, 6);
    expect(iceFor(600, 15, 15)).toBe(0);
  });
});
