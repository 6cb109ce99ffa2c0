import { describe, expect, it } from 'vitest';
import { startBake, stepBake } from '../../../server/evening/bake/bake.ts';
import { guide, wantedFor } from '../../../server/evening/bake/guide.ts';

const NOTHING = { stone: [], dome: [] };
const usual = wantedFor({ base: 0, crust: 0, wetness: 0 });

describe('bake guidance', () => {
  it('is common practice at common practice: turn at 3.5 min, off at 7.5 min, stone 270, dome 250 °C (handbook 10)', () => {
    const { turnAt, lookAt, offAt, warning, say } = guide(startBake(1000, 270, 250), usual, NOTHING, 1000);
    expect([turnAt, lookAt, offAt].map((at) => Math.round((at ?? 0) - 1000))).toEqual([210, 390, 450]);
    expect([warning, say]).toEqual([null, 'wait']);
  });

  it('is sooner on a hotter stone and later on a cooler one', () => {
    const off = (stone: number) => guide(startBake(0, stone, 250), usual, NOTHING, 0).baseAt ?? 0;
    // Handbook section 12, z 80: 7.5 min at 270 become 5.62 min at 280 and 10.0 min at 260 °C
    expect(off(280) / 60).toBeCloseTo(5.62, 1);
    expect(off(260) / 60).toBeCloseTo(10.0, 1);
  });

  it('looks ahead: a forecast that rises brings the end closer', () => {
    const bake = startBake(0, 265, 250);
    const stone = [{ t: 300, celsius: 285 }];
    const [level, rising] = [NOTHING, { stone, dome: [] }].map(
      (ahead) => guide(bake, usual, ahead, 0).baseAt ?? 0,
    );
    expect(rising).toBeLessThan(level ?? 0);
  });

  it('says turn, look and off, each in its time, and turn no more once turned', () => {
    const bake = startBake(0, 270, 250);
    const say = (now: number, turned: boolean) => guide(bake, usual, NOTHING, now, turned).say;
    expect([say(100, false), say(211, false), say(211, true), say(400, true), say(451, true)]).toEqual([
      'wait',
      'turn',
      'wait',
      'look',
      'off',
    ]);
  });

  it('counts the open lid: a top that was without its dome for a minute wants a minute more', () => {
    const open = stepBake(startBake(0, 270, 250), { kind: 'lid', t: 10, open: true });
    const shut = stepBake(open, { kind: 'lid', t: 70, open: false });
    const { topAt, baseAt, offAt } = guide(shut, usual, NOTHING, 70);
    expect(Math.round((topAt ?? 0) - (baseAt ?? 0))).toBe(60);
    expect(Math.round((offAt ?? 0) - (baseAt ?? 0))).toBe(30);
  });

  it('warns where base and top will not finish together, with the cure for that side', () => {
    const baseFirst = guide(startBake(0, 290, 230), usual, NOTHING, 0).warning;
    expect(baseFirst?.text).toMatch(/^The base will be done .* before the top\.$/);
    expect(baseFirst?.cure).toContain('lift the pizza towards the dome');
    const topFirst = guide(startBake(0, 250, 300), usual, NOTHING, 0).warning;
    expect(topFirst?.text).toMatch(/^The top will be done .* before the base\.$/);
    expect(topFirst?.cure).toContain('Close the vents');
  });

  it('never takes it off more than half a minute from where the base wants it', () => {
    for (const dome of [150, 200, 250, 300, 350]) {
      const { offAt, baseAt } = guide(startBake(0, 270, dome), usual, NOTHING, 0);
      expect(Math.abs((offAt ?? 0) - (baseAt ?? 0))).toBeLessThanOrEqual(30);
    }
  });

  it('leaves the top alone where no dome is seen', () => {
    const { topAt, warning, offAt, baseAt } = guide(startBake(0, 270, null), usual, NOTHING, 0);
    expect([topAt, warning]).toEqual([null, null]);
    expect(offAt).toBe(baseAt);
  });

  it('wants more for well done than for pale, and what was learned on top', () => {
    const [pale, done] = [-2, 2].map((base) => wantedFor({ base, crust: 0, wetness: 0 }));
    expect(done?.base).toBeGreaterThan(pale?.base ?? Infinity);
    expect(wantedFor({ base: 0, crust: 0, wetness: 0 }, { base: -20, top: 10 })).toMatchObject({
      base: 430,
      top: 460,
    });
  });
});
