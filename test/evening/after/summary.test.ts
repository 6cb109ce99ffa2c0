import { describe, expect, it } from 'vitest';
import type { Baked, CookFigures } from '../../../server/evening/after/figures.ts';
import { summarise } from '../../../server/evening/after/summary.ts';
import type { Verdict } from '../../../shared/words.ts';

const baked = (base: Verdict | null, top: Verdict | null, some: Partial<Baked> = {}): Baked => ({
  name: 'one',
  eater: 'Ann',
  stoneAtLaunch: 270,
  domeAtLaunch: 250,
  drawDown: 20,
  recoverySeconds: 240,
  bakeSeconds: 450,
  waitedSeconds: 60,
  readyAgainSeconds: 270,
  offAfter: 450,
  base,
  top,
  ...some,
});
const cook = (some: Partial<CookFigures> = {}): CookFigures => ({
  litAt: 0,
  readyAt: 3720,
  firstLaunchAt: 3900,
  plannedLaunchAt: 3900,
  shutAt: 9000,
  peakStone: 283,
  stone: [255, 285],
  dome: [235, 275],
  gapMm: 10,
  ventsCall: null,
  overBeforeSeconds: 0,
  lidOpenSeconds: 100,
  charcoalGrams: 1400,
  seenLaunches: 2,
  pizzas: [baked('right', 'right'), baked('right', 'right')],
  ...some,
});

describe('the summary', () => {
  it('tells a good cook in plain words, with nothing to change', () => {
    expect(summarise(cook())).toEqual({
      sentences: [
        'The stone was ready 62 min after the fire was lit.',
        'The first pizza went on when the plan had it.',
        '2 pizzas: 2 of 2 judged came out right.',
        'A pizza drew the stone down by about 20 °C; it was back after about 4 min.',
        'The fire burnt for 2.5 h on 1.4 kg of charcoal.',
      ],
      change: [],
    });
  });

  it('tells nothing that was not seen', () => {
    const unseen = baked(null, null, { drawDown: null, recoverySeconds: null, bakeSeconds: null });
    const { sentences, change } = summarise(
      cook({
        litAt: null,
        readyAt: null,
        firstLaunchAt: null,
        plannedLaunchAt: null,
        shutAt: null,
        peakStone: null,
        lidOpenSeconds: 60,
        pizzas: [unseen],
      }),
    );
    expect(sentences).toEqual(['1 pizza, not judged.']);
    expect(change).toEqual([
      {
        text: 'Tap how base and top came out: the times learn from it.',
        why: '0 of 1 pizzas were judged.',
      },
    ]);
    expect(summarise(cook({ pizzas: [], seenLaunches: 0 })).sentences).toContain('No pizza was baked.');
    const seen = summarise(cook({ pizzas: [], peakStone: 315 }));
    expect(seen.sentences).toContain('No pizza was entered; the curves look like 2 launches.');
    expect(seen.change[0]?.why).toBe('The stone ran 30 °C over its band.');
  });

  it.each<[string, Partial<CookFigures>, RegExp]>([
    [
      'the base ran ahead',
      { pizzas: [baked('scorched', 'pale'), baked('scorched', 'right'), baked('right', 'right')] },
      /^Widen the gap of 10 mm/,
    ],
    [
      'the top ran ahead',
      { pizzas: [baked('pale', 'scorched'), baked('pale', 'right')] },
      /^Narrow the gap of 10 mm/,
    ],
    ['scorched, taken off as called', { pizzas: [baked('scorched', 'scorched')] }, /^Take them off sooner/],
    [
      'scorched, taken off late',
      { pizzas: [baked('scorched', 'scorched', { bakeSeconds: 520 })] },
      /^Take them off when the call comes/,
    ],
    ['pale', { pizzas: [baked('pale', 'pale')] }, /^Leave them on for longer/],
    ['an overshoot', { peakStone: 315 }, /^Close the vents sooner: about 45 °C earlier/],
    [
      'an overshoot, the vents closed 9 min after the call',
      { peakStone: 315, ventsCall: { calledAt: 1200, closedAt: 1740 } },
      /^Close the vents when the call comes\. They were closed 9 min after it, and the stone ran 30 °C over/,
    ],
    [
      'an overshoot, the vents closed at once',
      { peakStone: 315, ventsCall: { calledAt: 1200, closedAt: 1260 } },
      /^Close the vents sooner/,
    ],
    [
      'an overshoot, the vents not closed at all',
      { peakStone: 315, ventsCall: { calledAt: 1200, closedAt: null } },
      /^Close the vents when the call comes\. After the call no closing was noted or seen, and the stone ran 30 °C over/,
    ],
    [
      'a first pizza that came late to a ready stone',
      { firstLaunchAt: 4620, plannedLaunchAt: null },
      /^Have the first pizza on the peel when the stone gets ready\. It went on 15 min after/,
    ],
    [
      'launches below the band',
      { pizzas: [baked('right', 'right', { stoneAtLaunch: 245 }), baked('right', 'right')] },
      /^Wait with the launch .* 1 of 2 pizzas went on below it, by 10 °C/,
    ],
    [
      'launches above the band',
      { pizzas: [baked('right', 'right', { stoneAtLaunch: 305 }), baked('right', 'right')] },
      /^Let the stone come down .* 1 of 2 pizzas went on above it, by 20 °C/,
    ],
    [
      'uneven launches',
      { pizzas: [256, 270, 276].map((stoneAtLaunch) => baked('right', 'right', { stoneAtLaunch })) },
      /^Launch each pizza at the same stone.* The launches lay 20 °C apart/,
    ],
    [
      'a stone that is back in its band soon, and steady late',
      { pizzas: [baked('right', 'right', { recoverySeconds: 120, readyAgainSeconds: 480 })] },
      /^Turn the vents down once .* only after 8 min, though back in its band after 2 min, after a fall of 20 °C/,
    ],
    [
      'a ready stone that waited',
      { pizzas: [30, 200, 160].map((waitedSeconds) => baked('right', 'right', { waitedSeconds })) },
      /^Top the next pizza while .* ready for 6 min in all before 2 pizzas went on/,
    ],
    [
      'pizzas taken off late, judged by nobody',
      { lidOpenSeconds: 60, pizzas: [baked(null, null, { bakeSeconds: 500 })] },
      /^Take them off when the call comes\. 1 of 1 came off 50 s after it\.$/,
    ],
    [
      'one pizza of two taken off on the call, the other late',
      {
        lidOpenSeconds: 60,
        pizzas: [
          baked('right', 'right', { bakeSeconds: 455 }),
          baked('right', 'right', { bakeSeconds: 630 }),
        ],
      },
      /^Take them off when the call comes\. 1 of 2 came off 180 s after it\.$/,
    ],
    ['a slow fire', { readyAt: 5400, firstLaunchAt: 5700 }, /^Light the fire 30 min sooner/],
    ['a late dough', { firstLaunchAt: 5100 }, /^Have dough and toppings ready 20 min sooner/],
    [
      'a slow recovery',
      { pizzas: [baked('right', 'right', { recoverySeconds: 600 })] },
      /^Open the vents a little/,
    ],
    ['an open lid', { lidOpenSeconds: 300 }, /^Keep the lid open for less/],
  ])('%s: says what to change first', (_what, some, want) => {
    const [first] = summarise(cook(some)).change;
    expect(`${first?.text} ${first?.why}`).toMatch(want);
  });

  it('given a stone that stood long above its band, says for how many minutes', () => {
    const { change } = summarise(cook({ peakStone: 315, overBeforeSeconds: 1260 }));
    expect(change.map(({ why }) => why)).toContain(
      'It stood above its band for 21 min before the first pizza.',
    );
  });

  it('given any cook, has a number in the reason of each change', () => {
    for (const some of [
      { peakStone: 330, overBeforeSeconds: 900, ventsCall: { calledAt: 0, closedAt: null } },
      { firstLaunchAt: 9000, lidOpenSeconds: 900 },
      { pizzas: [baked('scorched', 'pale'), baked('scorched', 'pale'), baked(null, null)] },
      { pizzas: [baked('pale', 'pale', { recoverySeconds: 900, stoneAtLaunch: 240 })] },
    ])
      for (const { why } of summarise(cook(some)).change) expect(why).toMatch(/\d/);
  });

  it('names three things at most, the weightiest first', () => {
    const bad = cook({
      peakStone: 330,
      readyAt: 6000,
      firstLaunchAt: 6300,
      lidOpenSeconds: 900,
      pizzas: [
        baked('scorched', 'pale', { recoverySeconds: 700 }),
        baked('scorched', 'pale', { recoverySeconds: 700 }),
      ],
    });
    const { change } = summarise(bad);
    expect(change).toHaveLength(3);
    expect(change.map(({ text }) => text.split(' ')[0])).toEqual(['Widen', 'Close', 'Keep']);
  });
});
