import { describe, expect, test } from 'vitest';
import { advise, freshAdviser, type Adviser } from '../../../server/engine/advice/adviser.ts';
import type { Facts } from '../../../server/engine/estimate/facts.ts';
import type { Advice } from '../../../shared/engine.ts';

const FREE = { isDisturbed: false, domeLimit: 370 };

/** Stone and dome, °C and °C/min, with a band of 255 to 285 °C. */
function facts(t: number, stone: number | null, dome: number, rates = [0, 0]): Facts {
  const [perMinute = 0, domePerMinute = 0] = rates;
  const level = { error: 0.5, perMinuteError: 0.3, isFresh: true };
  return {
    t,
    stone:
      stone === null
        ? null
        : {
            ...level,
            celsius: stone,
            perMinute,
            change: 2 * perMinute,
            changeError: 1,
            pace: perMinute,
            isEstimate: false,
            inside: 0,
            over: 0,
          },
    dome: { ...level, celsius: dome, perMinute: domePerMinute },
    stoneChannel: null,
    domeChannel: null,
    low: 255,
    high: 285,
  };
}

const last = (adviser: Adviser): Advice => {
  if (!adviser.lastAdvice) throw new Error('nothing was advised');
  return adviser.lastAdvice;
};

test('given a cold grill, asked, the vents are open and the dome is to lead the stone', () => {
  const adviser = freshAdviser();
  const advice = advise(adviser, facts(300, 30, 120, [2, 10]), FREE);
  expect(advice).toMatchObject({ type: 'advice', vents: 'open', share: 1 });
  expect(advice?.domeTo).toBeGreaterThan(290);
  expect(advice?.domeTo).toBeLessThanOrEqual(350);
});

test('given the same for minutes, asked each second, it is said again within a minute and no oftener', () => {
  const adviser = freshAdviser();
  const shares: number[] = [];
  for (let t = 0; t < 600; t++) if (advise(adviser, facts(t, 30, 120, [2, 0]), FREE)) shares.push(t);
  const gaps = shares.slice(1).map((t, i) => t - (shares[i] ?? t));
  expect(Math.max(...gaps)).toBeLessThanOrEqual(60);
  expect(Math.min(...gaps)).toBeGreaterThanOrEqual(30);
});

test('given a stone that coasts past its band, asked, the vents go nearly shut and the reason says how far', () => {
  const adviser = freshAdviser();
  for (let t = 0; t < 500; t++) advise(adviser, facts(t, 255, 360, [9, 5]), FREE);
  expect(last(adviser).vents).toBe('shut');
  expect(last(adviser).share).toBeGreaterThan(0);
  expect(last(adviser).domeTo).toBeLessThan(255);
  expect(last(adviser).why).toMatch(/even with the vents shut/);
});

test('given a dome that falls below what holds the stone, asked, the vents open step by step, never wide', () => {
  const adviser = { ...freshAdviser(), share: 0.05, movedAt: 0 };
  const shares: number[] = [];
  for (let t = 200; t < 3000; t++) {
    const advice = advise(adviser, facts(t, 258, 200, [-1, -1]), FREE);
    if (advice) shares.push(advice.share);
  }
  expect(shares.every((share, i) => share >= (shares[i - 1] ?? 0))).toBe(true);
  expect(Math.max(...shares)).toBeLessThanOrEqual(0.35);
  expect(Math.max(...shares)).toBeGreaterThan(0.2);
});

test('given an advice just changed, asked within two minutes, it does not change again', () => {
  const moves = new Set<number>();
  const again = freshAdviser();
  for (let t = 0; t < 3000; t++) {
    const dome = 300 + 60 * Math.sin(t / 200);
    advise(again, facts(t, 240, dome, [3, 18 * Math.cos(t / 200)]), FREE);
    moves.add(again.movedAt);
  }
  const times = [...moves].filter((t) => t >= 0).sort((a, b) => a - b);
  expect(times.length).toBeGreaterThan(1);
  for (const [i, t] of times.entries())
    if (i > 0) expect(t - (times[i - 1] ?? 0)).toBeGreaterThanOrEqual(120);
});

describe('what is not known', () => {
  test('given no dome, asked, nothing is advised', () => {
    expect(advise(freshAdviser(), { ...facts(300, 30, 120), dome: null }, FREE)).toBeNull();
  });

  test('given no stone, asked, the dome is to be a little over the middle of the band', () => {
    const advice = advise(freshAdviser(), facts(300, null, 120), FREE);
    expect(advice?.domeTo).toBe(285);
    expect(advice?.vents).toBe('open');
  });
});

test('given a grill whose dome may have 320 °C, asked, the dome is never sent near it', () => {
  const advice = advise(freshAdviser(), facts(300, 30, 120, [2, 10]), { isDisturbed: false, domeLimit: 320 });
  expect(advice?.domeTo).toBeLessThanOrEqual(300);
});

test('given a pizza on the stone, asked as the stone falls under it, the vents stay', () => {
  const adviser = { ...freshAdviser(), share: 0.2, movedAt: 0 };
  for (let t = 200; t < 700; t++)
    advise(adviser, facts(t, 220, 250, [-20, 0]), { isDisturbed: true, domeLimit: null });
  expect(last(adviser).share).toBe(0.2);
});

test('given vents nearly shut and a dome that the lid cooled, asked, the reason does not contradict the vents', () => {
  const adviser = { ...freshAdviser(), share: 0.03, movedAt: 3500 };
  const under = advise(adviser, facts(3600, 240, 228, [-6, -10]), { ...FREE, isDisturbed: true });
  expect(under).toMatchObject({ vents: 'shut', share: 0.03 });
  expect(under?.why).toBe(
    'An open lid or a pizza has cooled the dome to 228 °C for now: leave the vents as advised.',
  );
  const after = advise(adviser, facts(3660, 240, 228, [0.5, 12]), FREE);
  expect(after?.vents).toBe('shut');
  expect(after?.why).toContain('rising to');
  const later = advise(adviser, facts(3900, 240, 228, [0.5, 0]), FREE);
  expect(later?.share).toBeGreaterThan(0.03);
  expect(later?.why).toContain('to bring to');
});
