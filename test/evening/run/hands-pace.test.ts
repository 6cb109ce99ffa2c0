import { describe, expect, it } from 'vitest';
import { pace, MAX_PEEL_SECONDS, HAND_SECONDS, type Stage } from '../../../server/evening/run/hands-pace.ts';
import { createRandom } from '../../simulator/random.ts';

describe('pacing', () => {
  it('calls for stretching, topping and launching so that peel and stone meet', () => {
    const ball = pace(0, 600, { name: 'Ann', stage: 'ball' });
    expect(ball.action).toBe('wait');
    expect((ball.stretchAt ?? 0) + HAND_SECONDS.stretch).toBeLessThanOrEqual(ball.topAt ?? 0);
    expect((ball.topAt ?? 0) + HAND_SECONDS.top).toBe(600);
    expect(ball.launchAt).toBe(600);
    expect(pace(ball.stretchAt ?? 0, 600, { name: 'Ann', stage: 'ball' }).action).toBe('stretch');
    expect(pace(ball.topAt ?? 0, 600, { name: 'Ann', stage: 'stretched' }).action).toBe('top');
    expect(pace(600, 600, { name: 'Ann', stage: 'topped', onPeelSince: 595 }).action).toBe('launch');
  });

  it('holds topping back when the stone is later than was said', () => {
    expect(pace(520, 600, { name: 'Ann', stage: 'stretched' }).action).toBe('wait');
    expect(pace(530, 600, { name: 'Ann', stage: 'stretched' }).action).toBe('top');
    expect(pace(530, 900, { name: 'Ann', stage: 'stretched' }).action).toBe('wait');
  });

  it('says when the next launch can be, where the stone is ready before the pizza', () => {
    const { launchAt, action } = pace(1000, 900, { name: 'Ann', stage: 'ball' });
    expect(action).toBe('stretch');
    expect(launchAt).toBe(1000 + HAND_SECONDS.stretch + HAND_SECONDS.top);
  });

  it('tells of a pizza that has waited too long on the peel', () => {
    const late = pace(700, 760, { name: 'Ann', stage: 'topped', onPeelSince: 700 - MAX_PEEL_SECONDS - 10 });
    expect(late.action).toBe('hold');
    expect(late.text).toContain('shake it loose');
  });

  /** One recovery second by second: the forecast closes in on the truth, hands take as long as they take. */
  function recovery(seed: number): { onPeel: number; stoneWaited: number } {
    const dice = createRandom(seed);
    const readyAt = dice.between(260, 480);
    const wrong = dice.between(-60, 60);
    const hands = {
      stretch: HAND_SECONDS.stretch * dice.between(0.8, 1.2),
      top: HAND_SECONDS.top * dice.between(0.8, 1.2),
    };
    let [stage, busyUntil, onPeelSince]: [Stage, number, number | undefined] = ['ball', 0, undefined];
    for (let now = 0; now < 1200; now++) {
      if (now < busyUntil) continue;
      if (stage === 'stretched' && busyUntil === now && onPeelSince !== undefined) stage = 'topped';
      const forecast =
        now >= readyAt ? readyAt : Math.max(now + 1, readyAt + (wrong * (readyAt - now)) / readyAt);
      const { action } = pace(now, forecast, { name: 'x', stage, onPeelSince });
      if (action === 'launch') return { onPeel: now - (onPeelSince ?? now), stoneWaited: now - readyAt };
      if (action === 'stretch') [stage, busyUntil] = ['stretched', now + Math.ceil(hands.stretch)];
      else if (action === 'top')
        [busyUntil, onPeelSince] = [now + Math.ceil(hands.top), now + Math.ceil(hands.top)];
    }
    throw new Error('never launched');
  }

  it('with a forecast that is 60 s out at first and hands 20 % off: no wait of a minute on either side, 200 times', () => {
    const runs = Array.from({ length: 200 }, (_, i) => recovery(i + 1));
    expect(Math.max(...runs.map(({ onPeel }) => onPeel))).toBeLessThanOrEqual(MAX_PEEL_SECONDS);
    expect(Math.max(...runs.map(({ stoneWaited }) => stoneWaited))).toBeLessThanOrEqual(60);
  });
});
