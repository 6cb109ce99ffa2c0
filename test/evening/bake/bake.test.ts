import { describe, expect, it } from 'vitest';
import { startBake, stepBake, type Start } from '../../../server/evening/bake/bake.ts';
import { KNOT_SECONDS, shareOf, usualOf } from '../../../server/evening/bake/usual-fall.ts';

const stone: Start = {
  reference: 270,
  tolerance: 2,
  allowance: null,
  launch: { celsius: 270, weight: 1 },
  usual: null,
};
const noDome: Start = { reference: null, tolerance: 0, allowance: null, launch: null, usual: null };
const usual = usualOf(Array.from({ length: 8 }, () => KNOT_SECONDS.map(() => shareOf(270, 240))));

const run = (base: Start, celsius: number | null, seconds = 450) => {
  let bake = startBake(1000, 76, base, noDome);
  for (let t = 1001; t <= 1000 + seconds; t++) bake = stepBake(bake, t, celsius, null);
  return bake;
};

describe('what a base has had', () => {
  it.each([0, 12, 40, 80])(
    'given a stone whose usual fall nobody has seen, a fall of %d °C moves nothing',
    (fall) => expect(run(stone, 270 - fall).base.had).toBeCloseTo(450, 6),
  );

  it('given the usual fall, counts by the clock; given a deeper one, less; given a smaller one, more', () => {
    const had = (celsius: number) => run({ ...stone, usual }, celsius).base.had;
    expect(Math.abs(had(240) - 450)).toBeLessThan(4.5);
    expect(had(215)).toBeLessThan(430);
    expect(had(265)).toBeGreaterThan(470);
  });

  it('given a stone that was hotter at the launch, counts for more; the less it is relied on, the less', () => {
    const had = (weight: number) =>
      run({ ...stone, launch: { celsius: 290, weight: weight } }, null).base.had;
    expect(had(1)).toBeGreaterThan(500);
    expect(had(0.5)).toBeLessThan(had(1));
    expect(had(0.5)).toBeGreaterThan(450);
  });

  it('given no stone at all, goes by the clock', () => {
    expect(run({ ...stone, launch: null }, null).base.had).toBeCloseTo(450, 6);
  });

  it('given a reading that stops, what it showed holds for two minutes and no longer', () => {
    let bake = startBake(0, 76, { ...stone, usual }, noDome);
    for (let t = 1; t <= 100; t++) bake = stepBake(bake, t, 200, null);
    const early = bake.base.had;
    for (let t = 101; t <= 400; t++) bake = stepBake(bake, t, null, null);
    expect(bake.base.had - early).toBeGreaterThan(180 + 120 * 0.5);
    expect(bake.base.had - early).toBeLessThan(298);
  });

  it('given its data written and read again, goes on the same', () => {
    const bake = run({ ...stone, usual }, 230, 100);
    expect(stepBake(JSON.parse(JSON.stringify(bake)), 1200, 235, null)).toEqual(
      stepBake(bake, 1200, 235, null),
    );
  });

  it('given a launch that was read, keeps its fall for the next', () => {
    const { fall } = run(stone, 240, 130).base;
    expect(fall.slice(0, 6).every((each) => Math.abs((each ?? 0) - shareOf(270, 240)) < 1e-3)).toBe(true);
    expect(fall.slice(6).every((each) => each === null)).toBe(true);
  });
});
