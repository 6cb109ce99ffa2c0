import { describe, expect, it } from 'vitest';
import { bakeAt, startBake, stepBake, type BakeInput } from '../../../server/evening/bake/bake.ts';
import { baseDose, doseOf, topDose } from '../../../server/evening/bake/dose.ts';

const run = (inputs: readonly BakeInput[], stone: number | null = 270, dome: number | null = 250) =>
  inputs.reduce((bake, input) => stepBake(bake, input), startBake(1000, stone, dome));

describe('a bake', () => {
  it('at a steady stone of 270 and dome of 250 °C counts by the clock', () => {
    const { base, top } = bakeAt(run([]), 1450);
    expect(base.dose).toBeCloseTo(450, 6);
    expect(top.dose).toBeCloseTo(450, 6);
  });

  it('sums reading by reading what the whole curve would give', () => {
    const stone = [250, 245, 248, 252, 255].map((celsius, i) => ({ t: 1060 + 60 * i, celsius }));
    const dome = [230, 245, 251].map((celsius, i) => ({ t: 1090 + 70 * i, celsius }));
    const inputs = [
      ...stone.map((each) => ({ kind: 'stone' as const, ...each })),
      ...dome.map((each) => ({ kind: 'dome' as const, ...each })),
    ].sort((a, b) => a.t - b.t);
    const bake = run(inputs);
    expect(bake.base.dose).toBeCloseTo(doseOf([{ t: 1000, celsius: 270 }, ...stone], baseDose()), 9);
    expect(bake.top.dose).toBeCloseTo(doseOf([{ t: 1000, celsius: 250 }, ...dome], topDose), 9);
  });

  it('takes the top nothing while the lid is open, and knows for how long that was', () => {
    const bake = run([
      { kind: 'lid', t: 1100, open: true },
      { kind: 'lid', t: 1130, open: false },
    ]);
    const { base, top, lidOpenFor } = bakeAt(bake, 1450);
    expect(top.dose).toBeCloseTo(420, 6);
    expect(base.dose).toBeCloseTo(450, 6);
    expect(lidOpenFor).toBe(30);
  });

  it('lets a reading without a value change nothing, and a reading of the past', () => {
    const bake = run([
      { kind: 'stone', t: 1100, celsius: null },
      { kind: 'stone', t: 1050, celsius: 270 },
    ]);
    expect(bakeAt(bake, 1450).base.dose).toBeCloseTo(450, 6);
  });

  it('goes by the clock where nothing was ever read', () => {
    expect(bakeAt(run([], null, null), 1450).base.dose).toBeCloseTo(450, 6);
  });

  it('is plain data: kept and read again it goes on the same', () => {
    const bake = run([{ kind: 'stone', t: 1100, celsius: 260 }]);
    expect(bakeAt(JSON.parse(JSON.stringify(bake)), 1300)).toEqual(bakeAt(bake, 1300));
  });
});
