import { describe, expect, it } from 'vitest';
import { bakeAt, startBake, stepBake } from '../../../server/evening/bake/bake.ts';
import { drawnBy, usualDraw } from '../../../server/evening/bake/draw.ts';
import { guide, wantedFor } from '../../../server/evening/bake/guide.ts';

const MIDDLING = { base: 0, crust: 0, wetness: 0 };

describe('what a pizza draws the stone down by', () => {
  it('comes to what this grill shows, two odd pizzas moving it little', () => {
    expect(usualDraw(Array.from({ length: 12 }, () => 20))).toBeCloseTo(22.9, 1);
    expect(Math.abs(usualDraw([30, 30, 30, 30, 30, 30, 90, 0]) - 30)).toBeLessThan(10);
  });

  it('leaves the bake of common practice at its 7.5 min, though the stone falls 40 °C under it', () => {
    // stone 270, dome 250 °C at launch, off at 450 s (handbook section 10, common practice)
    const draw = usualDraw([]);
    let bake = startBake(0, 270, 250);
    for (let t = 1; t <= 120; t++) {
      const measured = 270 - 40 * (1 - Math.exp(-t / 25));
      bake = stepBake(bake, { kind: 'stone', t, celsius: measured + drawnBy(t, draw) });
      bake = stepBake(bake, { kind: 'dome', t, celsius: 250 });
    }
    expect(bakeAt(bake, 120).base.dose).toBeCloseTo(120, 0);
    const { offAt } = guide(bake, wantedFor(MIDDLING), { stone: [], dome: [] }, 120);
    expect(Math.abs((offAt ?? 0) - 450)).toBeLessThan(5);
  });
});
