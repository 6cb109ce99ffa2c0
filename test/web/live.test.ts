import { describe, expect, it } from 'vitest';
import {
  applyMessage,
  cookTime,
  freshness,
  lost,
  receive,
  setBeat,
  startListening,
} from '../../web/stores/live.ts';
import { channel, makeNow } from './support/now.ts';

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
  const beat = { type: 'heartbeat', seq: 1, at: '2026-05-02T18:00:00.000Z', t: 3600 } as const;
  it('is told within five seconds, and ends with the next word', () => {
    startListening(0);
    receive({ type: 'snapshot', seq: 1, run: 'r', now: makeNow() }, 1000);
    setBeat(4900, 0);
    expect(lost.value).toBeNull();
    setBeat(5900, 0);
    expect(lost.value).toBe(4);
    receive(beat, 6000);
    expect(lost.value).toBeNull();
  });
  it.each([0, 0.2, 0.4, 0.6, 0.8])('is told a beat after 4 s, %s s into a second of the cook', (part) => {
    const at = 100_000;
    receive({ type: 'snapshot', seq: 1, run: 'r', now: makeNow({ t: 3600 + part }) }, at);
    let told = at;
    while (lost.value === null && told < at + 10_000) setBeat((told += 250), 0);
    expect(told - at).toBe(4000);
  });
  it('is told at once after the device slept, though its monotonic clock stood', () => {
    receive(beat, 10_000);
    setBeat(10_250, 3_600_000);
    expect(lost.value).toBeGreaterThan(3000);
  });
  it('counts the cook on meanwhile, at the pace of the recording', () => {
    receive({ type: 'snapshot', seq: 1, run: 'r', now: makeNow({ rate: 20 }) }, 20_000);
    setBeat(20_500, 0);
    expect(cookTime.value).toBe(3610);
  });
});

describe('the age of a reading', () => {
  it('is counted on here, and makes it stale after three intervals and 20 s', () => {
    const stone = channel('stone', 263, { age: 2, every: 2 });
    expect(freshness(stone, 10)).toEqual({ age: 12, stale: false });
    expect(freshness(stone, 19).stale).toBe(true);
    expect(freshness(channel('stone', 263, { age: 2, every: 30 }), 60).stale).toBe(false);
    expect(freshness(channel('stone', null, { age: null }), 0).stale).toBe(true);
  });
});
