import { describe, expect, it } from 'vitest';
import { HOLD_SECONDS } from '../../../../web/stores/derive/hold.ts';
import { messagesOf, slotOf } from '../../../../web/stores/derive/notices.ts';
import type { Now } from '../../../../shared/api/live.ts';
import { viewOf } from '../../../../web/stores/derive/headline-sentence.ts';
import { domeWords } from '../../../../web/stores/derive/vent-answer.ts';
import { alert, channel, forecast, makeNow, pizza } from '../../support/now.ts';

const failed = {
  source: 'ble' as const,
  state: 'failed' as const,
  problem: 'no adapter',
  remedy: 'plug it in',
};
const asked = { id: 'q1', noticed: 'launch' as const, at: 3590, confidence: 0.8 };
const idsOf = (over: object, watched: string | null = null, expected = ''): string[] =>
  messagesOf(makeNow(over), 3600, watched, expected).map(({ id }) => id);

describe('what stands beside the headline', () => {
  it('has what calls first, then what asks, then what is broken, what is watched, what is expected', () => {
    expect(
      idsOf(
        {
          questions: [asked],
          sources: [failed],
          alerts: [
            alert('probe-doubtful', { urgency: 'prompt' }),
            alert('fire-fading', { state: 'acknowledged' }),
          ],
        },
        'Vents set.',
        'peak 281°',
      ),
    ).toEqual([
      'alert probe-doubtful ',
      'question q1',
      'source ble',
      'watched',
      'alert fire-fading ',
      'expected',
    ]);
  });

  it('given all baked, asks for no look at the stone any more, but for what is broken still', () => {
    const alerts = [alert('look-due', { urgency: 'prompt' }), alert('probe-doubtful', { urgency: 'prompt' })];
    const baked = [pizza('a', { name: 'A', launchedAt: 3000, offAt: 3400 })];
    expect(idsOf({ alerts, pizzas: baked })).toEqual(['alert probe-doubtful ']);
    const waits = [...baked, pizza('b', { name: 'B' })];
    expect(idsOf({ alerts, pizzas: waits })).toContain('alert look-due ');
  });

  it('given another order that has all out sooner, offers it without pressing; given none, nothing', () => {
    const order = { pizzas: ['b', 'a'], sooner: 180 };
    const run = { launches: [], lastOffAt: 5000, dome: null, order, text: 'B before A: sooner.' };
    expect(messagesOf(makeNow({ run }), 3600, null, '')).toEqual([
      { id: 'order', isPressing: false, kind: 'words', words: 'B before A: sooner.', order: ['b', 'a'] },
    ]);
    expect(idsOf({ run: { ...run, order: null, text: null } })).toEqual([]);
  });

  it('is empty where there is nothing to say', () => {
    expect(idsOf({})).toEqual([]);
  });
});

describe('the slot', () => {
  const calm = messagesOf(makeNow(), 3600, 'Vents set.', 'peak 281°');
  const pressing = messagesOf(makeNow({ questions: [asked] }), 3600, 'Vents set.', '');
  const turned = [...calm].reverse();

  it('keeps a message for a minute against another that does not press', () => {
    const slot = slotOf(null, calm, 100);
    expect(slot).toEqual({ id: 'watched', since: 100 });
    expect(slotOf(slot, turned, 100 + HOLD_SECONDS - 1)?.id).toBe('watched');
    expect(slotOf(slot, turned, 100 + HOLD_SECONDS)?.id).toBe('expected');
  });

  it('gives way at once to what presses, and to another where its message is gone', () => {
    const slot = slotOf(null, calm, 100);
    expect(slotOf(slot, pressing, 101)?.id).toBe('question q1');
    expect(slotOf(slot, calm.slice(1), 101)?.id).toBe('expected');
    expect(slotOf(slot, [], 101)).toBeNull();
  });
});

const vent = (note: string) => ({ id: 'e1', t: 3000, event: 'vent' as const, undone: false, note });

/** A fire with wide open vents, its dome above a band of 235 to 275 °C, while the stone still climbs far below its own. */
const wild = (celsius: number, perMinute: number, over: Partial<Now> = {}): string | null => {
  const channels = [channel('stone', 186), channel('dome', celsius, { perMinute })];
  const now = makeNow({
    state: 'climbing',
    channels,
    forecast: forecast({ overAt: 4300 }),
    events: [vent('wide open')],
    ...over,
  });
  return domeWords(viewOf(now, 'C', 3600));
};

it('given a dome that rises past its band under open vents, says to close them before the stone tells', () => {
  expect(wild(283, 15)).toBe('Close the vents further: the dome is over its band and rises.');
});

it.each([
  ['in its band', wild(270, 15)],
  ['that does not rise', wild(283, 1)],
  ['under which the stone stays in its band', wild(283, 15, { forecast: forecast() })],
  ['whose vents are narrow', wild(283, 15, { events: [vent('a quarter open')] })],
])('given a dome %s, says nothing of it', (_case, words) => {
  expect(words).toBeNull();
});
