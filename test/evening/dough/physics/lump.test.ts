import { describe, expect, it } from 'vitest';
import {
  endOf,
  follow,
  hoursTo,
  settlingHours,
  workIn,
} from '../../../../server/evening/dough/physics/lump.ts';
import { workRate } from '../../../../server/evening/dough/physics/yeast.ts';

describe('dough taking on the temperature of its place', () => {
  it('settles in 1 to 1.5 h as a ball of 250 g and in 2 to 4 h as 1.5 kg (still air 8 to 12 W/m²K, computed)', () => {
    expect(settlingHours(0.25)).toBeGreaterThan(1);
    expect(settlingHours(0.25)).toBeLessThan(1.5);
    expect(settlingHours(1.5)).toBeGreaterThan(2);
    expect(settlingHours(1.5)).toBeLessThan(4);
  });

  it('2 h out of a fridge at 4 °C: a mass is at 12 to 15 °C, a ball at 17 to 19 °C', () => {
    const out = (kilograms: number) => endOf({ hours: 2, ambientC: 21.5, kilograms }, 4);
    expect(out(1.5)).toBeGreaterThan(12);
    expect(out(1.5)).toBeLessThan(15);
    expect(out(0.25)).toBeGreaterThan(17);
    expect(out(0.25)).toBeLessThan(19);
  });

  it('says how long it takes to a temperature, and that it never comes past its place', () => {
    const hours = hoursTo(16, 4, 21, 0.25);
    expect(endOf({ hours, ambientC: 21, kilograms: 0.25 }, 4)).toBeCloseTo(16, 9);
    expect(hoursTo(22, 4, 21, 0.25)).toBe(Infinity);
    expect(hoursTo(3, 4, 21, 0.25)).toBe(Infinity);
    expect(hoursTo(4, 4, 21, 0.25)).toBe(0);
  });

  it('counts the hours that it stays warm in a fridge', () => {
    const fridge = { hours: 12, ambientC: 4, kilograms: 1.5 };
    expect(workIn(fridge, 25)).toBeGreaterThan(1.5 * workIn(fridge, 4));
  });

  it('agrees with a fine sum over the same cooling, to 0.1 %', () => {
    const tau = settlingHours(1.5);
    let sum = 0;
    for (let i = 0; i < 20_000; i++)
      sum += workRate(20 + 10 * Math.exp(-((i + 0.5) * 0.0003) / tau)) * 0.0003;
    const got = workIn({ hours: 6, ambientC: 20, kilograms: 1.5 }, 30);
    expect(got / (sum / workRate(25))).toBeCloseTo(1, 3);
  });

  it('follows stays one after another, each from where the last ended', () => {
    const stays = [
      { hours: 2, ambientC: 21, kilograms: 1.5 },
      { hours: 20, ambientC: 4, kilograms: 1.5 },
    ];
    const { work, temperatures } = follow(stays, 24);
    expect(temperatures).toHaveLength(3);
    expect(temperatures[2]).toBeCloseTo(4, 1);
    expect(work).toBeCloseTo(workIn(stays[0]!, 24) + workIn(stays[1]!, temperatures[1]!), 9);
  });
});
