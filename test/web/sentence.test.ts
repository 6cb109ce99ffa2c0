import { describe, expect, it } from 'vitest';
import { now as schema, type Now } from '../../shared/live.ts';
import { ALERTS, STONE_STATES } from '../../shared/words.ts';
import { orderOf } from '../../web/stores/orders.ts';
import { spoken, viewOf } from '../../web/stores/say.ts';
import { detail, sentence } from '../../web/stores/sentence.ts';
import { alert, channel, forecast, makeNow, pizza } from './support/now.ts';

const heard = (t = 3600) => ({ t, lost: null });
const words = (now: Now | null, unit: 'C' | 'F' = 'C'): string => spoken(sentence(now, unit, heard()));

describe('the sentence', () => {
  it('is drawn from documents of the shared schema', () => {
    expect(schema.parse(makeNow())).toEqual(makeNow());
  });

  it('says how long to launch while the stone climbs', () => {
    const now = makeNow({
      state: 'climbing',
      channels: [channel('stone', 243)],
      forecast: forecast({ readyAt: 3900 }),
    });
    expect(words(now)).toBe('Stone 243°, 5 min to launch');
    expect(words(now, 'F')).toBe('Stone 469°, 5 min to launch');
  });

  it('says only what is so where the forecast says nothing', () => {
    expect(words(makeNow({ state: 'climbing', forecast: null }))).toBe('Stone 263°, climbing');
  });

  it('names the next pizza when the stone is ready', () => {
    expect(words(makeNow())).toBe('Stone 263°, launch now');
    const run = [
      pizza('a', { name: 'Marinara', launchedAt: 3000, offAt: 3400 }),
      pizza('b', { name: 'Salami' }),
    ];
    expect(words(makeNow({ pizzas: run }))).toBe('Stone 263°, launch Salami now');
    expect(sentence(makeNow(), 'C', heard()).tone).toBe('go');
  });

  it('gives the order of an overshoot with differences in the unit of the person', () => {
    const now = makeNow({
      state: 'soaking',
      forecast: forecast({ peak: { celsius: 310, at: 4500 }, overAt: 4080 }),
      alerts: [alert('overshoot-ahead')],
    });
    expect(words(now)).toBe('Close the vents, 25° over in 8 min');
    expect(words(now, 'F')).toBe('Close the vents, 45° over in 8 min');
  });

  it('lets what is due next go before an order that was seen', () => {
    const stone = { pizza: 'a', launchedAt: 3500, turnAt: 3710, offAt: 3950 };
    const now = (state: 'acknowledged' | 'unacknowledged') =>
      makeNow({
        state: 'baking',
        alerts: [alert('overshoot-ahead', { state })],
        pizzas: [pizza('a', { name: 'Salami', launchedAt: 3500 })],
        onStone: [stone],
      });
    expect(words(now('unacknowledged'))).toContain('Close the vents');
    expect(words(now('acknowledged'))).toContain('turn Salami in 1:50');
  });

  it('keeps an order that was seen and still stands, and drops one that is over or shelved', () => {
    const now = (state: 'acknowledged' | 'returned' | 'shelved') =>
      makeNow({ state: 'soaking', alerts: [alert('lid-left-open', { state })] });
    expect(words(now('acknowledged'))).toContain('Close the lid');
    expect(words(now('returned'))).toContain('let the heat even out');
    expect(words(now('shelved'))).toContain('let the heat even out');
  });

  it('drops the order to close the vents once it was seen and the forecast stays in the band', () => {
    const now = (overAt: number | null) =>
      makeNow({
        state: 'climbing',
        alerts: [alert('overshoot-ahead', { state: 'acknowledged' })],
        forecast: forecast({ readyAt: 3900, overAt }),
      });
    expect(words(now(4200))).toContain('Close the vents');
    expect(words(now(null))).toBe('Stone 263°, 5 min to launch');
  });

  it('puts the more urgent of two orders first', () => {
    const alerts = [alert('fire-fading'), alert('off-due', { urgency: 'urgent', pizza: 'a' })];
    expect(words(makeNow({ alerts, pizzas: [pizza('a', { name: 'Salami' })] }))).toBe(
      'Off now, take Salami off the stone',
    );
  });

  it('counts down to the turn, then to off', () => {
    const stone = { pizza: 'a', launchedAt: 3500, turnAt: 3710, offAt: 3950 };
    const baking = (turnedAt: number | null) =>
      makeNow({
        state: 'baking',
        pizzas: [pizza('a', { name: 'Salami', launchedAt: 3500, turnedAt })],
        onStone: [stone],
      });
    expect(words(baking(null))).toBe('Stone 263°, turn Salami in 1:50');
    expect(words(baking(3590))).toBe('Stone 263°, Salami off in 5:50');
    expect(spoken(sentence(baking(null), 'C', heard(3715)))).toBe('Stone 263°, turn Salami now');
  });

  it('never shows a number when the stone is not known', () => {
    const now = makeNow({
      state: 'blind',
      channels: [channel('stone', 263, { stale: true, reason: 'nothing for 40 s' }), channel('dome', 250)],
    });
    expect(words(now)).toBe('Stone not known, nothing for 40 s; dome 250°');
    expect(words(now)).not.toContain('263');
  });

  it('says that the server is silent before anything else, and goes on with the timers', () => {
    const stone = { pizza: null, launchedAt: 3500, turnAt: null, offAt: 3720 };
    const lost = { t: 3600, lost: 7 };
    expect(spoken(sentence(makeNow({ alerts: [alert('overshot')] }), 'C', lost))).toBe(
      'No word for 7 s, look at the grill itself',
    );
    expect(spoken(sentence(makeNow({ onStone: [stone] }), 'C', lost))).toBe(
      'No word for 7 s, the pizza off in 2:00',
    );
  });

  it('tells when the next launch is while the stone recovers', () => {
    expect(words(makeNow({ state: 'recovering', forecast: forecast({ readyAt: 3840 }) }))).toBe(
      'Stone 263°, next launch in 4 min',
    );
  });

  it.each(STONE_STATES)('has words for the state %s', (state) => {
    const said = sentence(makeNow({ state }), 'C', heard());
    expect(said.head.length).toBeGreaterThan(1);
    expect(said.rest.length).toBeGreaterThan(5);
    expect(said.rest).not.toMatch(/undefined|NaN|null/);
  });

  it.each(ALERTS)('has words for the alert %s', (name) => {
    const { head, rest } = orderOf(viewOf(makeNow({ forecast: null }), 'C', 3600), alert(name));
    expect(`${head} ${rest}`).not.toMatch(/undefined|NaN|null/);
    expect(rest.length).toBeGreaterThan(5);
  });

  it('means the same while only its numbers move', () => {
    const at = (celsius: number, readyAt: number) =>
      sentence(
        makeNow({
          state: 'climbing',
          channels: [channel('stone', celsius)],
          forecast: forecast({ readyAt }),
        }),
        'C',
        heard(),
      ).meaning;
    expect(at(240, 3950)).toBe(at(244, 3850));
    expect(at(240, 3950)).not.toBe(sentence(makeNow(), 'C', heard()).meaning);
  });
});

describe('what stands beside it', () => {
  const write = (t: number): string => `t${t}`;
  it('is the range of the forecast and the peak, while they lie ahead', () => {
    const now = makeNow({
      forecast: forecast({ readyAt: 3900, readyBetween: [3840, 3990], peak: { celsius: 281, at: 4700 } }),
    });
    expect(detail(now, 'C', 3600, write)).toBe('ready between t3840 and t3990 · peak 281° at t4700');
    expect(detail(now, 'C', 3880, write)).toBe('peak 281° at t4700');
    expect(detail(makeNow({ forecast: null }), 'C', 3600, write)).toBe('');
  });

  it('is when to look at the pizza that lies on the stone, and why then', () => {
    const guide = {
      pizza: 'p1',
      say: 'wait' as const,
      turnAt: 3700,
      lookAt: 3900,
      offAt: 3990,
      warning: null,
      lesson: '9 of your pizzas say: 20 s less.',
      byHand: false,
    };
    const baking = {
      pizzas: [pizza('p1', { launchedAt: 3500 })],
      onStone: [{ pizza: 'p1', launchedAt: 3500, turnAt: 3700, offAt: 3990 }],
    };
    const at = (patch: object, t: number): string =>
      detail(makeNow({ ...baking, guides: [{ ...guide, ...patch }] }), 'C', t, write);
    expect(at({}, 3600)).toBe('Look in 5 min. 9 of your pizzas say: 20 s less.');
    expect(at({ say: 'look' }, 3910)).toBe('Look now. 9 of your pizzas say: 20 s less.');
    expect(at({ byHand: true, lookAt: null }, 3600)).toBe('Times set by hand.');
  });
});
