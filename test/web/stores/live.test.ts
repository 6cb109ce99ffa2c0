import { describe, expect, it } from 'vitest';
import {
  endedWithServer,
  applyMessage,
  cookTime,
  hasLeapt,
  lost,
  receive,
  moveClock,
  startListening,
} from '../../../web/stores/live.ts';
import { freshness } from '../../../web/stores/derive/quality-words.ts';
import { channel, makeNow, recording } from '../support/now.ts';

describe('the live document', () => {
  it('takes whole members of a change and keeps the others', () => {
    const before = makeNow();
    const after = applyMessage(before, {
      type: 'change',
      seq: 2,
      now: { t: 3601, state: 'hot' },
      readings: [],
    });
    expect(after).toEqual({ ...before, t: 3601, state: 'hot' });
  });
  it('is nothing until a snapshot came', () => {
    expect(applyMessage(null, { type: 'heartbeat', seq: 0, at: '', t: 1 })).toBeNull();
  });
});

describe('silence', () => {
  const heartbeat = { type: 'heartbeat', seq: 1, at: '2026-05-02T18:00:00.000Z', t: 3600 } as const;
  it('is told within five seconds, and ends with the next word', () => {
    startListening(0);
    receive({ type: 'snapshot', seq: 1, run: 'r', now: makeNow() }, 1000);
    moveClock(4900, 0);
    expect(lost.value).toBeNull();
    moveClock(5900, 0);
    expect(lost.value).toBe(4);
    receive(heartbeat, 6000);
    expect(lost.value).toBeNull();
  });
  it.each([0, 0.2, 0.4, 0.6, 0.8])('given a heartbeat after 4 s, %s s into a second of the cook', (part) => {
    const at = 100_000;
    receive({ type: 'snapshot', seq: 1, run: 'r', now: makeNow({ t: 3600 + part }) }, at);
    let emittedAt = at;
    while (lost.value === null && emittedAt < at + 10_000) moveClock((emittedAt += 250), 0);
    expect(emittedAt - at).toBe(4000);
  });
  it('is told at once after the device slept, though its monotonic clock stood', () => {
    receive(heartbeat, 10_000);
    moveClock(10_250, 3_600_000);
    expect(lost.value).toBeGreaterThan(3000);
  });
  it('counts the cook on meanwhile, at the pace of the recording', () => {
    receive({ type: 'snapshot', seq: 1, run: 'r', now: makeNow({ rate: 20 }) }, 20_000);
    moveClock(20_500, 0);
    expect(cookTime.value).toBe(3610);
  });
});

describe('a cook that leaps in time', () => {
  it('given a recording that was played on at once, is noticed; what was due at its pace is none', () => {
    expect(hasLeapt(100, makeNow({ t: 4460, rate: 1 }))).toBe(true);
    expect(hasLeapt(100, makeNow({ t: 102, rate: 1 }))).toBe(false);
    expect(hasLeapt(100, makeNow({ t: 1900, rate: 1000 }))).toBe(false);
    expect(hasLeapt(null, makeNow({ t: 4460 }))).toBe(false);
  });
});

it('the age of a reading is counted on here, and makes it stale beyond what the server says', () => {
  const stone = channel('stone', 263, { age: 2, staleAfter: 90 });
  expect(freshness(stone, 60)).toEqual({ age: 62, stale: false });
  expect(freshness(stone, 89).stale).toBe(true);
  expect(freshness(channel('stone', null, { age: null }), 0).stale).toBe(true);
});

describe('a rehearsal whose server began anew', () => {
  const before = makeNow({ rehearsal: recording() });
  const without = makeNow({ cook: null, rehearsal: null });

  it('given a snapshot without a cook, it ended with the server', () => {
    expect(endedWithServer(before, { type: 'snapshot', seq: 0, run: 'b', now: without })).toBe(true);
  });

  it('given that it was left, or that there was none, it did not', () => {
    expect(endedWithServer(before, { type: 'change', seq: 7, now: without, readings: [] })).toBe(false);
    expect(endedWithServer(without, { type: 'snapshot', seq: 0, run: 'b', now: without })).toBe(false);
  });
});
