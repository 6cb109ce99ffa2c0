import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { Rest, REST_MS } from '../../../../web/view/action-bar/rest.ts';

let over: number;
let key: Rest;
beforeEach(() => {
  vi.useFakeTimers();
  over = 0;
  key = new Rest(() => over++);
});
afterEach(() => vi.useRealTimers());

it('given a key that is drawn for the first time, it takes taps at once', () => {
  expect(key.asked('launch p1')).toBe(false);
});

it('given a change of what it does, a key rests from that drawing on for 1.5 s', () => {
  key.asked('launch p1');
  expect(key.asked('turn p1')).toBe(true);
  vi.advanceTimersByTime(REST_MS - 1);
  expect(key.asked('turn p1')).toBe(true);
  vi.advanceTimersByTime(1);
  expect(key.asked('turn p1')).toBe(false);
  expect(over).toBe(1);
});

it('given a key that is drawn anew each tenth of a second through an evening, it rests 1.5 s a change', () => {
  let rested = 0;
  const changes = ['launch p1', 'turn p1', 'off p1', 'launch p2'];
  for (const does of changes)
    for (let drawn = 0; drawn < 600; drawn++) {
      if (key.asked(does)) rested += 100;
      vi.advanceTimersByTime(100);
    }
  expect(rested).toBe((changes.length - 1) * REST_MS);
});

it('given another change within its rest, it rests for 1.5 s from that one', () => {
  key.asked('launch p1');
  key.asked('turn p1');
  vi.advanceTimersByTime(1000);
  key.asked('off p1');
  vi.advanceTimersByTime(1000);
  expect(key.asked('off p1')).toBe(true);
  vi.advanceTimersByTime(500);
  expect(key.asked('off p1')).toBe(false);
  expect(over).toBe(1);
});

it('given no cook for a while, what the key does after it is no change', () => {
  key.asked('off p1');
  key.asked(null);
  expect(key.asked('launch p1')).toBe(false);
});

it('given a key that is taken off the screen in its rest, nothing is drawn any more', () => {
  key.asked('launch p1');
  key.asked('turn p1');
  key.stop();
  vi.advanceTimersByTime(REST_MS);
  expect(over).toBe(0);
});
