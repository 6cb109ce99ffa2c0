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
  offAfter: 450,
  base,
  top,
  ...some,
});
const cook = (some: Partial<CookFigures> = {}): CookFigures => ({
  litAt: 0,
  readyAt: 3600,
  firstLaunchAt: 3900,
  plannedLaunchAt: 3900,
  shutAt: 9000,
  peakStone: 283,
  stone: [255, 285],
  dome: [235, 275],
  gapMm: 10,
  secondsOver: 0,
  lidOpenSeconds: 100,
  charcoalGrams: 1400,
  pizzas: [baked('right', 'right'), baked('right', 'right')],
  ...some,
});

describe('the summary', () => {
  it('tells a good cook in plain words, with nothing to change', () => {
    expect(summarise(cook())).toEqual({
      sentences: [
        'The stone was ready 60 min after the fire was lit.',
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
    expect(sentences).toEqual(['1 pizza, none of them judged.']);
    expect(change).toEqual([
      {
        text: 'Tap how base and top came out: the times learn from it.',
        why: 'No pizza of this cook was judged.',
      },
    ]);
    expect(summarise(cook({ pizzas: [] })).sentences).toContain('No pizza was baked.');
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
    ['a slow fire', { readyAt: 5400, firstLaunchAt: 5700 }, /^Light the fire 30 min sooner/],
    ['a late dough', { firstLaunchAt: 5100 }, /^Have dough and toppings ready 20 min sooner/],
    [
      'a slow recovery',
      { pizzas: [baked('right', 'right', { recoverySeconds: 600 })] },
      /^Open the vents a little/,
    ],
    ['an open lid', { lidOpenSeconds: 300 }, /^Keep the lid open for less/],
  ])('%s: says what to change first', (_what, some, want) => {
    expect(summarise(cook(some)).change[0]?.text).toMatch(want);
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
