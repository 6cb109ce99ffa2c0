import { describe, expect, it } from 'vitest';
import { causeOf, hold, HOLD_SECONDS, type Shown } from '../../../../web/stores/derive/hold.ts';
import type { Tone } from '../../../../shared/alert/headline-parts.ts';
import { headlineOf, type Sentence } from '../../../../web/stores/derive/headline-sentence.ts';
import { actionKeys } from '../../../../web/stores/derive/action-bar.ts';
import { sentence } from '../../../../web/stores/derive/sentence.ts';
import { alert, makeNow, pizza } from '../../support/now.ts';

const sentenceOf = (head: string, tone: Tone = 'calm') => headlineOf(tone, 'wait', { head });
const writes = (sentence: Sentence) => (): Sentence => sentence;
const shown = (head: string, since = 0, tone: Tone = 'calm'): Shown => ({
  sentence: sentenceOf(head, tone),
  since,
  cause: '',
  write: writes(sentenceOf(head, tone)),
});

describe('the headline', () => {
  it('given another sentence that is not urgent, stands for a minute before it gives way', () => {
    const before = shown('Close the vents', 0, 'act');
    expect(hold(before, writes(sentenceOf('Launch')), HOLD_SECONDS - 1, '').sentence.head).toBe(
      'Close the vents',
    );
    expect(hold(before, writes(sentenceOf('Launch')), HOLD_SECONDS, '').sentence.head).toBe('Launch');
  });

  it('given three sentences in three minutes by turns, changes no oftener than once a minute', () => {
    const heads = ['Close the vents', 'Launch', 'Close the vents again'];
    let before: Shown | null = null;
    const changes: number[] = [];
    for (let t = 0; t < 180; t++) {
      const next: Shown = hold(before, writes(sentenceOf(heads[Math.floor(t / 7) % 3] ?? '')), t, '');
      if (next.sentence.meaning !== before?.sentence.meaning) changes.push(t);
      before = next;
    }
    expect(changes.length).toBeGreaterThan(1);
    changes.slice(1).forEach((t, i) => expect(t - (changes[i] ?? 0)).toBeGreaterThanOrEqual(HOLD_SECONDS));
  });

  it('given an urgent sentence, shows it at once', () => {
    expect(hold(shown('Launch'), writes(sentenceOf('Off', 'urgent')), 1, '').sentence.head).toBe('Off');
  });

  it('given something that was done, answers at once', () => {
    expect(hold(shown('Turn'), writes(sentenceOf('Off')), 1, 'e7').sentence.head).toBe('Off');
  });

  it('given numbers that run on, goes on with them and keeps its time', () => {
    const next = hold(shown('Launch', 5), writes({ ...sentenceOf('Launch'), count: '3:29' }), 50, '');
    expect(next).toMatchObject({ since: 5, sentence: { count: '3:29' } });
  });

  it('given a wait that stands while another sentence wants its place, counts on', () => {
    const wait = (t: number): Sentence =>
      headlineOf('calm', 'wait', { head: 'Wait', count: `${200 - t} s`, meaning: 'wait' });
    const other = writes(sentenceOf('Close the vents', 'act'));
    const before = hold(null, wait, 100, '');
    const after = hold(hold(before, other, 110, ''), other, 130, '');
    expect(after).toMatchObject({ since: 100, sentence: { head: 'Wait', count: '70 s' } });
  });

  it('given a sentence that by then would mean something else, stands as it was', () => {
    const launch = (t: number): Sentence => sentenceOf(t < 120 ? 'Launch' : 'Light the fire');
    const other = writes(sentenceOf('Close the vents', 'act'));
    expect(hold(hold(null, launch, 100, ''), other, 130, '').sentence.head).toBe('Launch');
  });

  it('given a server that was silent and is back, says so at once', () => {
    expect(hold(shown('No word', 0, 'lost'), writes(sentenceOf('Launch')), 1, '').sentence.head).toBe(
      'Launch',
    );
  });

  it('given a rehearsal that was sought back, begins anew', () => {
    expect(hold(shown('Launch', 500), writes(sentenceOf('Wait')), 20, '').sentence.head).toBe('Wait');
  });

  it('given a wait that is over, says so at once: it asks for the same', () => {
    const due = headlineOf('go', 'go', { head: 'Launch', count: 'now' });
    expect(hold(shown('Launch'), writes(due), 1, '').sentence.count).toBe('now');
  });
});

describe('what people did', () => {
  const stone = (state: 'unacknowledged' | 'acknowledged' | 'returned') =>
    makeNow({ alerts: [alert('overshoot-ahead', { state })] });

  it('given an alert that comes and goes by itself, is the same', () => {
    const before = causeOf(null, makeNow(), '7');
    const due = makeNow({ alerts: [alert('look-due', { urgency: 'prompt' })] });
    const called = causeOf(before, due, '7');
    expect([called, causeOf(called, makeNow(), '7')].map(({ text }) => text)).toEqual([
      before.text,
      before.text,
    ]);
  });

  it('given an alert that takes the whole screen, is another, and stays so when it goes by itself', () => {
    const before = causeOf(null, makeNow(), '7');
    const called = causeOf(before, stone('unacknowledged'), '7');
    expect(called.text).not.toBe(before.text);
    expect(causeOf(called, makeNow(), '7').text).toBe(called.text);
  });

  it('given an alert that somebody has seen, is another, and stays so when it is over', () => {
    const before = causeOf(null, stone('unacknowledged'), '7');
    const seen = causeOf(before, stone('acknowledged'), '7');
    expect(seen.text).not.toBe(before.text);
    expect(causeOf(seen, stone('returned'), '7').text).toBe(seen.text);
  });

  it('given something that is taken back, is another', () => {
    const event = { id: 'e1', t: 3500, event: 'off' as const, pizza: 'a', undone: false };
    const before = causeOf(null, makeNow({ events: [event] }), '7');
    const after = causeOf(before, makeNow({ events: [{ ...event, undone: true }] }), '7');
    expect(after.text).not.toBe(before.text);
  });
});

it('given a launch or an off that was only noticed, headline and first key say the same at once', () => {
  const empty = makeNow({ state: 'ready', pizzas: [pizza('a', { name: 'A' })] });
  const noticed = { pizza: null, launchedAt: 3540, turnAt: 3750, offAt: 3990 };
  const baking = makeNow({ ...empty, state: 'baking', onStone: [noticed] });
  const turned = [{ id: 'e1', t: 3602, event: 'turn' as const, undone: false }];
  const late = makeNow({ ...baking, events: turned, onStone: [{ ...noticed, turnAt: null, offAt: 3590 }] });
  let before: Shown | null = null;
  let cause: ReturnType<typeof causeOf> | null = null;
  const look = (now: typeof empty, t: number): string[] => {
    cause = causeOf(cause, now, '1');
    before = hold(before, (at) => sentence(now, 'C', { t: at, lost: null }), t, cause.text);
    return [before.sentence.symbol, actionKeys(now, t, before.sentence).first];
  };
  expect(look(empty, 3600)).toEqual(['go', 'launch']);
  expect(look(baking, 3601)).toEqual(['turn', 'turn']);
  expect(look(late, 3602)).toEqual(['off', 'off']);
  expect(look({ ...empty, events: turned }, 3603)).toEqual(['go', 'launch']);
});
