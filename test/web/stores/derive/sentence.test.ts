import { describe, expect, it } from 'vitest';
import { now as schema, type Now } from '../../../../shared/api/live.ts';
import { ALERTS } from '../../../../shared/alert/kinds.ts';
import { STONE_STATES } from '../../../../shared/words.ts';
import { orderOf } from '../../../../web/stores/derive/alert-headlines.ts';
import { spoken, viewOf } from '../../../../web/stores/derive/headline-sentence.ts';
import { detail, sentence } from '../../../../web/stores/derive/sentence.ts';
import type { Trend } from '../../../../web/stores/derive/curve/direction.ts';
import { ventsTrend, ventsWords } from '../../../../web/stores/derive/vent-answer.ts';
import { alert, channel, forecast, makeNow, pizza, recording } from '../../support/now.ts';

const connection = (t = 3600) => ({ t, lost: null });
const words = (now: Now | null, unit: 'C' | 'F' = 'C', t = 3600): string =>
  spoken(sentence(now, unit, connection(t)));

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
    expect(words(now)).toBe('Launch, in 5 min, the stone climbs');
  });

  it.each(['probe-lost', 'probe-doubtful'] as const)(
    'given %s, its message goes on after the comma without a capital',
    (name) => {
      const message = 'No reading from stone for 90 s: look at the probe and its plug.';
      const { head, rest } = orderOf(viewOf(makeNow(), 'C', 3600), alert(name, { message }));
      expect(`${head}, ${rest}`).toMatch(/^Check the probe, no reading/);
    },
  );

  it('says only what is so where the forecast says nothing', () => {
    expect(words(makeNow({ state: 'climbing', forecast: null }))).toBe('Wait, the stone climbs');
  });

  it('names the next pizza when the stone is ready', () => {
    expect(words(makeNow())).toBe('Launch, now, the stone is ready');
    const run = [
      pizza('a', { name: 'Marinara', launchedAt: 3000, offAt: 3400 }),
      pizza('b', { name: 'Salami' }),
    ];
    expect(words(makeNow({ pizzas: run }))).toBe('Launch Salami, now, the stone is ready');
    expect(sentence(makeNow(), 'C', connection()).tone).toBe('go');
  });

  it('says no launch once the last pizza is off and the fire is being ended', () => {
    const run = [pizza('a', { name: 'Marinara', launchedAt: 3000, offAt: 3400 })];
    for (const state of ['ready', 'hot', 'falling', 'recovering', 'blind'] as const) {
      const shown = sentence(makeNow({ state, pizzas: run, isOver: true }), 'C', connection());
      expect(spoken(shown)).toBe('All baked, both vents shut, lid down: end the evening');
      expect(shown.tone).toBe('calm');
    }
  });

  it('given a recording that is over, says so and orders nothing, whatever it ended with', () => {
    const rehearsal = recording({ ended: true });
    const alerts = [alert('overshoot-ahead')];
    for (const now of [makeNow({ rehearsal }), makeNow({ rehearsal, alerts })])
      expect(words(now)).toBe('The recording is over, play it again, or start a real cook');
    expect(words(makeNow({ rehearsal: recording({ ended: false }) }))).toBe(
      'Launch, now, the stone is ready',
    );
  });

  it('gives the order of an overshoot with differences in the unit of the person', () => {
    const now = makeNow({
      state: 'soaking',
      forecast: forecast({ peak: { celsius: 310, at: 4500 }, overAt: 4080 }),
      alerts: [alert('overshoot-ahead')],
    });
    expect(words(now)).toBe('Close the vents, 25° over, in 8 min');
    expect(words(now, 'F')).toBe('Close the vents, 45° over, in 8 min');
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
    expect(words(now('acknowledged'))).toContain('Turn Salami, 1:50');
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
    expect(words(now(null))).toBe('Launch, in 5 min, the stone climbs');
  });

  it('puts the more urgent of two orders first', () => {
    const alerts = [alert('fire-fading'), alert('off-due', { urgency: 'urgent', pizza: 'a' })];
    expect(words(makeNow({ alerts, pizzas: [pizza('a', { name: 'Salami' })] }))).toBe('Take Salami off, now');
  });

  it('counts down to the turn, then to off', () => {
    const stone = { pizza: 'a', launchedAt: 3500, turnAt: 3710, offAt: 3950 };
    const baking = (turnedAt: number | null) =>
      makeNow({
        state: 'baking',
        pizzas: [pizza('a', { name: 'Salami', launchedAt: 3500, turnedAt })],
        onStone: [stone],
      });
    expect(words(baking(null))).toBe('Turn Salami, 1:50, then off in 5:50');
    expect(words(baking(3590))).toBe('Take Salami off, 5:50');
    expect(words(baking(null), 'C', 3713)).toContain('Turn Salami, now');
    expect(words(baking(null), 'C', 3722)).toContain('Turn Salami, 0:12 late');
  });

  it('never shows a number when the stone is not known', () => {
    const now = makeNow({
      state: 'blind',
      channels: [channel('stone', 263, { stale: true, reason: 'nothing for 40 s' }), channel('dome', 250)],
    });
    expect(words(now)).toBe('Stone not known, nothing for 40 s; dome 250°');
    expect(words(now)).not.toContain('263');
  });

  it('given a first look at a stone on the way, says when the next is worth it and what for; then asks for it', () => {
    const looked = (age: number) =>
      words(makeNow({ state: 'blind', channels: [channel('stone', 250, { source: 'spot', age })] }));
    expect(looked(0)).toBe('Look again, in 2 min, 250° now: two or three looks show how fast it climbs');
    expect(looked(90)).toMatch(/^Look again, in 30 s/);
    expect(looked(121)).toBe('Look at the stone, 250°, looked at 2 min ago');
  });

  it('given a dome that is read and a stone that nobody looked at, asks for a look once the fire burns', () => {
    const unseen = channel('stone', null, { age: null });
    const under = (dome: number) =>
      words(makeNow({ state: 'blind', events: [], channels: [unseen, channel('dome', dome)] }));
    expect(under(140)).toBe('Stone not known, dome 140°: look at the stone');
    expect(under(22)).toBe('Light the fire, then say so here');
    expect(words(makeNow({ state: 'blind', channels: [unseen] }))).toMatch(/^No reading yet/);
    const longAgo = channel('stone', 23, { source: 'spot', age: 1080 });
    expect(words(makeNow({ state: 'blind', channels: [longAgo, channel('dome', 290)] }))).toBe(
      'Look at the stone, 23°, looked at 18 min ago',
    );
  });

  it('says that the server is silent before anything else, and goes on with the timers', () => {
    const stone = { pizza: null, launchedAt: 3500, turnAt: null, offAt: 3720 };
    const lost = { t: 3600, lost: 7 };
    expect(spoken(sentence(makeNow({ alerts: [alert('overshot')] }), 'C', lost))).toBe(
      'No word, for 7 s, look at the grill itself',
    );
    expect(spoken(sentence(makeNow({ onStone: [stone] }), 'C', lost))).toBe(
      'Take the pizza off, 2:00, no word from the server for 7 s: look at the grill itself',
    );
  });

  it('tells when the next launch is while the stone recovers', () => {
    expect(words(makeNow({ state: 'recovering', forecast: forecast({ readyAt: 3840 }) }))).toBe(
      'Launch, in 4 min, the stone is coming back',
    );
  });

  it.each(STONE_STATES)('has words for the state %s', (state) => {
    const shown = sentence(makeNow({ state }), 'C', connection());
    expect(shown.head.length).toBeGreaterThan(1);
    expect(`${shown.count} ${shown.rest}`.length).toBeGreaterThan(5);
    expect(spoken(shown)).not.toMatch(/undefined|NaN|null/);
  });

  it.each(ALERTS)('has words for the alert %s', (name) => {
    const { head, count, rest } = orderOf(viewOf(makeNow({ forecast: null }), 'C', 3600), alert(name));
    expect(`${head} ${count} ${rest}`).not.toMatch(/undefined|NaN|null/);
    expect(`${count} ${rest}`.length).toBeGreaterThan(3);
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
        connection(),
      ).meaning;
    expect(at(240, 3950)).toBe(at(244, 3850));
    expect(at(240, 3950)).not.toBe(sentence(makeNow(), 'C', connection()).meaning);
  });
});

describe('what stands beside it', () => {
  const write = (t: number): string => `t${t}`;
  it('is the range of the forecast and the peak, while they lie ahead', () => {
    const now = makeNow({
      forecast: forecast({ readyAt: 3900, readyBetween: [3840, 3990], peak: { celsius: 281, at: 4700 } }),
    });
    expect(detail(now, 'C', 3600, write)).toBe(
      'ready between t3840 and t3990 · stone to peak at 281° at t4700',
    );
    expect(detail(now, 'C', 3880, write)).toBe('stone to peak at 281° at t4700');
    expect(detail(makeNow({ forecast: null }), 'C', 3600, write)).toBe('');
  });

  it('is when to look at the pizza that lies on the stone, and why then', () => {
    const guide = {
      pizza: 'p1',
      action: 'wait' as const,
      turnAt: 3700,
      lookAt: 3900,
      offAt: 3990,
      warning: null,
      lesson: '9 verdicts of others, none of Ines yet: 5 % shorter.',
      why: null,
      byHand: false,
    };
    const baking = {
      pizzas: [pizza('p1', { launchedAt: 3500 })],
      onStone: [{ pizza: 'p1', launchedAt: 3500, turnAt: 3700, offAt: 3990 }],
    };
    const at = (patch: object, t: number): string =>
      detail(makeNow({ ...baking, guides: [{ ...guide, ...patch }] }), 'C', t, write);
    expect(at({}, 3600)).toBe(
      'Look at the pizza in 5 min. 9 verdicts of others, none of Ines yet: 5 % shorter.',
    );
    expect(at({ action: 'look' }, 3910)).toBe(
      'Look at the pizza now. 9 verdicts of others, none of Ines yet: 5 % shorter.',
    );
    const why = 'Off 15 s sooner: the stone was 8 °C above the middle of its band at the launch.';
    expect(at({ why }, 3600)).toBe(`Look at the pizza in 5 min. ${why}`);
    expect(at({ byHand: true, lookAt: null }, 3600)).toBe('Times set by hand.');
  });
});

describe('vents that were set', () => {
  const set = (t: number) => [{ id: 'e1', t, event: 'vent', undone: false }];
  const hot = (at: number, perMinute: number, over: Partial<Now> = {}): Now =>
    makeNow({
      state: 'hot',
      channels: [channel('stone', 296), channel('dome', 300, { perMinute })],
      events: set(at),
      ...over,
    });
  const seen = { alerts: [alert('overshot', { state: 'acknowledged' })] };

  it('given a stone above its band and nothing set, says to close them', () => {
    expect(words(makeNow({ state: 'hot', channels: [channel('stone', 296)] }))).toBe(
      'Close the vents, 11° over, the stone is above its band',
    );
  });

  it('are given three minutes before anything is asked again', () => {
    expect(words(hot(3500, 0))).toMatch(/^Wait, 11° over/);
    expect(words(hot(3500, 0, seen))).toMatch(/^Wait/);
    expect(words(hot(3400, 0))).toMatch(/^Close the vents/);
  });

  it('are not asked for again while the dome falls after them', () => {
    expect(words(hot(3400, -4))).toMatch(/^Wait/);
    expect(words(hot(3400, -4, seen))).toMatch(/^Wait/);
    expect(words(hot(3400, 2, seen))).toMatch(/^Close the vents/);
  });

  it('given a dome that was over its limit, orders no more once it was seen and the dome is below', () => {
    const over = { why: { dome: 380, limit: 370 }, urgency: 'urgent' } as const;
    const at = (celsius: number, state: 'unacknowledged' | 'acknowledged'): string =>
      words(
        makeNow({
          state: 'climbing',
          channels: [channel('stone', 200), channel('dome', celsius)],
          alerts: [alert('dome-too-hot', { ...over, state })],
        }),
      );
    expect(at(375, 'acknowledged')).toBe('Close the vents, dome 375°, over its limit');
    expect(at(310, 'unacknowledged')).toBe('Close the vents, dome 310°, it was over its limit');
    expect(at(310, 'acknowledged')).toBe('Wait, the stone climbs');
  });

  it('given a stone over its band that already cools towards a dome below it, waits for it once that was seen', () => {
    const cooling = (over: Partial<Now>): Now =>
      makeNow({ ...seen, state: 'hot', forecast: forecast(), nextLaunchAt: 4200, ...over });
    const channels = [channel('stone', 296, { perMinute: -2 }), channel('dome', 250)];
    expect(words(cooling({ channels }))).toBe('Wait, 11° over, it cools: launch in 10 min');
    for (const nextLaunchAt of [5400, null, 5460])
      expect(words(cooling({ channels, nextLaunchAt }))).toBe('Wait, 11° over, it cools: leave the vents');
    expect(words(cooling({ channels, alerts: [alert('overshot')] }))).toMatch(/^Close the vents/);
    expect(words(cooling({ channels: [channel('stone', 296), channel('dome', 320)] }))).toMatch(
      /^Close the vents/,
    );
    const rising = [channel('stone', 296, { perMinute: 3 }), channel('dome', 250)];
    expect(words(cooling({ channels: rising }))).toBe('Wait, 11° over, the stone climbs: leave the vents');
    const climbs = forecast({ peak: { at: 3700, celsius: 305 } });
    expect(words(cooling({ channels, forecast: climbs }))).toMatch(/^Close the vents/);
  });

  it('never silence an order that nobody has seen', () => {
    expect(words(hot(3500, -4, { alerts: [alert('overshot', { urgency: 'urgent' })] }))).toMatch(
      /^Close the vents/,
    );
  });

  it('are watched in words, with the time and what came of them', () => {
    const write = (t: number): string => `t${t}`;
    const view = (now: Now) => viewOf(now, 'C', 3600);
    const wordsOf = (now: Now, before: Trend | null = null) =>
      ventsWords(view(now), ventsTrend(view(now), before), write);
    expect(wordsOf(hot(3500, -4))).toBe('Vents set at t3500, dome falling since.');
    expect(wordsOf(hot(3500, 0))).toBe('Vents set at t3500, dome steady so far.');
    expect(wordsOf(hot(3000, 0))).toBeNull();
    expect(wordsOf(makeNow())).toBeNull();
    // A rate that wavers about a limit goes on with the word that stands.
    expect(wordsOf(hot(3500, -0.4), 'falling')).toBe('Vents set at t3500, dome falling since.');
    expect(wordsOf(hot(3500, -0.6), 'steady')).toBe('Vents set at t3500, dome steady so far.');
  });
});

describe('a run that was announced', () => {
  const baked = { launchedAt: 3000, offAt: 3400 };
  it('given all of it baked, leads to the end of the evening whatever the stone does', () => {
    const now = (state: Now['state']) =>
      makeNow({ state, pizzas: [pizza('a', { name: 'Salami', ...baked })] });
    for (const state of ['ready', 'falling', 'recovering', 'hot'] as const)
      expect(words(now(state))).toMatch(/^All baked/);
  });
  it('given pizzas that nobody announced, waits for the next', () => {
    expect(words(makeNow({ pizzas: [pizza('p1', { name: 'Pizza 1', ...baked })] }))).toMatch(/^Launch/);
  });
});

describe('a fire', () => {
  it('given a cold stone, is to be lit, then said to be, then waited for', () => {
    const cold = { state: 'cold' as const, channels: [channel('stone', 20)] };
    expect(words(makeNow(cold))).toBe('Light the fire, then say so here');
    const lit = [{ id: 'e1', t: 60, event: 'fire-lit', undone: false }];
    expect(words(makeNow({ ...cold, events: lit }))).toMatch(/^Wait, the fire is lit/);
    const warm = { ...cold, channels: [channel('stone', 40), channel('dome', 260)] };
    expect(words(makeNow(warm))).toMatch(/^Wait, the fire is lit/);
  });

  it('given a stone that is over its band by less than half a degree, says no degrees', () => {
    const hot = (celsius: number) => words(makeNow({ state: 'hot', channels: [channel('stone', celsius)] }));
    expect(hot(285.3)).toBe('Close the vents, the stone is above its band');
    expect(hot(286)).toContain('1° over');
  });

  it('given a cold stone that nobody looked at since long before, and no dome, asks for a look once the fire has burnt for ten minutes', () => {
    const lit = [{ id: 'e1', t: 60, event: 'fire-lit', undone: false }];
    const after = (t: number, age: number, channels: Now['channels'] = []) =>
      words(
        makeNow({
          t,
          state: 'blind',
          events: lit,
          channels: [channel('stone', 20, { source: 'spot', age, stale: true }), ...channels],
        }),
        'C',
        t,
      );
    expect(after(500, 480)).toMatch(/^Wait, the fire is lit/);
    expect(after(900, 300)).toMatch(/^Wait, the fire is lit/);
    expect(after(900, 880)).toBe('Look at the stone, 20°, looked at 15 min ago');
    expect(after(900, 880, [channel('dome', 40)])).toMatch(/^Wait, the fire is lit/);
  });
});
