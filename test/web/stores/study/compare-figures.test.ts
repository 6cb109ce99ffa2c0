import { describe, expect, it } from 'vitest';
import type { CookDetail } from '../../../../shared/api/api.ts';
import {
  figuresOf,
  leads,
  whyBetter,
  type CookFigures,
} from '../../../../web/stores/study/compare-figures.ts';
import { originOf } from '../../../../web/stores/overlay.ts';
import { mark } from '../../support/now.ts';

const launch = (launchedAt: number, offAt: number, stoneAtLaunch: number | null) => ({
  pizza: { launchedAt, offAt },
  review: { stoneAtLaunch },
});
const cook = (run: unknown[], band: [number, number] = [250, 280]) =>
  ({ marks: [mark(60, 'fire-lit')], run, targets: { stone: band } }) as unknown as CookDetail;
/** 200 °C at 0 s, 250 at 600, 300 at 1200, back to 250 at 1800, and there until 3000 s. */
const stone = [200, 225, 250, 275, 300, 275, 250, 250, 250, 250, 250].map(
  (celsius, i) => [300 * i, celsius] as const,
);

describe('the figures of a cook', () => {
  it('given its curve and its pizzas, are those of its own band', () => {
    const run = [launch(1900, 2300, 250), launch(2400, 2700, 230)];
    expect(figuresOf({ cook: cook(run), stone })).toEqual({
      toBand: 540,
      over: 20,
      // 600 to 960 and 1440 to 2700 s; between them it was over.
      inBand: { seconds: expect.closeTo(1620, 0), of: 2100 },
      launches: { inBand: 1, of: 2 },
    });
    expect(figuresOf({ cook: cook(run, [290, 310]), stone })).toMatchObject({
      toBand: 1140,
      over: 0,
      launches: { inBand: 0, of: 2 },
    });
  });

  it('given a stone that was looked at now and then, does not claim to know its time in the band', () => {
    const looks = stone.filter(([t]) => t % 600 === 0);
    expect(figuresOf({ cook: cook([]), stone: looks }).inBand).toBeNull();
  });

  it('given nothing, are not known', () =>
    expect(figuresOf({ cook: { ...cook([]), marks: [] }, stone: [] })).toEqual({
      toBand: null,
      over: null,
      inBand: null,
      launches: null,
    }));
});

const good: CookFigures = {
  toBand: 2100,
  over: 0,
  inBand: { seconds: 1860, of: 4500 },
  launches: { inBand: 5, of: 5 },
};
const runaway: CookFigures = {
  toBand: 1740,
  over: 118,
  inBand: { seconds: 360, of: 3780 },
  launches: { inBand: 1, of: 2 },
};

const whyOf = (cooks: Record<string, CookFigures>): string[] =>
  whyBetter(
    Object.entries(cooks).map(([name, figures]) => ({ name, figures })),
    'C',
  );

describe('why one cook went better', () => {
  it('given two, says what it had over the other in numbers, and what the other had over it', () =>
    expect(whyOf({ A: runaway, B: good })).toEqual([
      'B went better than A: it launched 5 of 5 pizzas in its band against 1 of 2, ran 118° less over its band before the first pizza (0° against 118°) and stayed in its band for 31 of 75 min against 6 of 63 min. Against that, A was in its band 6 min sooner after the fire was lit (29 against 35 min).',
    ]));

  it('given three, says so of the best against each other one', () => {
    const reasons = whyOf({ A: runaway, B: good, C: { ...good, over: 40 } });
    expect(reasons.map((sentence) => sentence.split(':')[0])).toEqual([
      'B went better than A',
      'B went better than C',
    ]);
  });

  it('given differences that are noise, or nothing in common, says that', () => {
    const near = { ...good, over: 2, toBand: 2190 };
    expect(whyOf({ A: good, B: near })[0]).toMatch(/went alike/);
    const none = { toBand: null, over: null, inBand: null, launches: null };
    expect(whyOf({ A: good, B: none })[0]).toMatch(/no figure in common/);
    expect(whyOf({ A: good })).toEqual([]);
  });

  it('given °F, tells differences in it', () =>
    expect(leads({ ...good, over: 10 }, { ...good, over: 20 }, 'F')).toEqual([
      'ran 18° less over its band before the first pizza (18° against 36°)',
    ]));
});

it('given a later launch to meet at, lies there, and without such a launch nowhere', () => {
  const entry = { cook: cook([launch(2400, 2700, 250), launch(1900, 2300, 250)]), stone };
  expect([1, 2, 3].map((number) => originOf(entry, 'launch', number))).toEqual([1900, 2400, null]);
});
