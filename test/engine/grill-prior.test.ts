import { describe, expect, test } from 'vitest';
import type { GrillPrior } from '../../shared/engine.ts';
import { engine } from '../../server/engine/cook-engine.ts';
import { ANY_GRILL } from '../../server/engine/heat/parameters.ts';
import { beliefOf } from '../../server/engine/grill-prior.ts';
import { warmUp } from './evening.ts';

/** Standard deviation of each of the parameters, as shares of what they have between grills. */
function sharesOf(prior: GrillPrior | null): number[] {
  const { root } = beliefOf(prior) ?? ANY_GRILL;
  return root.map((row, i) => Math.hypot(...row) / Math.hypot(...(ANY_GRILL.root[i] ?? [])));
}

describe('what cooks teach of a grill', () => {
  const first = engine.learned(warmUp(0, 1, null));
  const second = engine.learned(warmUp(0, 2, first));

  test('is counted, and known better with each', () => {
    expect([first?.cooks, second?.cooks]).toEqual([1, 2]);
    const [once, twice] = [sharesOf(first), sharesOf(second)];
    expect(Math.min(...once)).toBeLessThan(0.6);
    const mean = (shares: readonly number[]): number => shares.reduce((sum, x) => sum + x, 0) / shares.length;
    expect(mean(twice)).toBeLessThan(mean(once));
  });

  test('is what the next cook starts from, whole through JSON', () => {
    const again = JSON.parse(JSON.stringify(second)) as GrillPrior; // plain JSON, which is what is shown here
    expect(
      engine.start({ channels: [], targets: { stone: [255, 285] }, prior: again }).tracker,
    ).toMatchObject({
      isTaught: true,
      belief: beliefOf(second),
    });
  });

  test('of another grill is noticed within the warm-up, dropped, and not taught further', () => {
    // index 4 is a brick of 28 mm, index 3 a steel plate
    const brick = engine.learned(warmUp(4, 2, engine.learned(warmUp(4, 1, null))));
    const steel = warmUp(3, 1, brick);
    expect(steel.tracker).toMatchObject({ isForeign: true, isTaught: false });
    expect(engine.learned(steel)).toBeNull();
    expect(warmUp(4, 3, brick).tracker).toMatchObject({ isForeign: false, isTaught: true });
  });

  test('of another version, or damaged, is not read', () => {
    expect(beliefOf({ version: 99, cooks: 5, values: second?.values ?? {} })).toBeNull();
    expect(beliefOf({ version: 2, cooks: 5, values: { m0: 1 } })).toBeNull();
  });

  test('nothing, by a cook that never got warm', () => {
    const state = engine.start({ channels: [{ id: 'dome', role: 'dome' }], targets: { stone: [255, 285] } });
    for (let t = 0; t < 1200; t++)
      engine.step(state, { kind: 'reading', t, channel: 'dome', celsius: 20, quality: 'good' });
    expect(engine.learned(state)).toBeNull();
  });
});
