import { describe, expect, it } from 'vitest';
import { nextLaunch } from '../../../server/cook/evening/next-launch.ts';
import { engine } from '../../../server/engine/cook-engine.ts';
import type { EngineView, ForecastPoint } from '../../../shared/engine.ts';
import { CONFIG } from '../../engine/evening.ts';
import { forecast } from '../../web/support/now.ts';

const BAND = [255, 285] as const;
const NOW = 3600;

/** A course of so many °C/min from `celsius`, known to one standard error of `error`, °C. */
const course = (celsius: number, perMinute: number, error: number): ForecastPoint[] =>
  Array.from({ length: 21 }, (_, i) => {
    const [middle, half] = [celsius + i * perMinute, 1.2816 * error];
    return { t: NOW + 60 * i, celsius: middle, low: middle - half, high: middle + half };
  });

type Case = { stone: number; perMinute: number; readyIn: number; overIn?: number; fadesIn?: number };

function launchIn({ stone, perMinute, readyIn, overIn, fadesIn }: Case, error = 0.5, isEstimate = true) {
  const at = (seconds: number | undefined): number | null => (seconds === undefined ? null : NOW + seconds);
  const bare = engine.view(engine.start(CONFIG));
  const channel = { celsius: stone, error, perMinute, perMinuteError: 0.6, lastGood: NOW, lookedAt: NOW };
  const view: EngineView = {
    ...bare,
    state: 'soaking',
    channels: { stone: { ...channel, isEstimate } },
    forecast: forecast({
      t: NOW,
      stone,
      readyAt: at(readyIn),
      overAt: at(overIn),
      fadesAt: at(fadesIn),
      curves: { stone: course(stone, perMinute, error), dome: [] },
    }),
  };
  const launch = nextLaunch(view, NOW, BAND);
  return launch === null ? null : Math.round(launch - NOW);
}

describe('the next launch', () => {
  it('given a stone in its band that would be steady only long after it is over it, is now', () => {
    expect(launchIn({ stone: 274, perMinute: 11, readyIn: 1470, overIn: 60 })).toBe(0);
  });

  it('given a stone that passes its band before it would be steady, lies where its course is in the band', () => {
    const passing = { stone: 249, perMinute: 8, overIn: 270 };
    expect(launchIn({ ...passing, readyIn: 1500 })).toBe(45);
    expect(launchIn({ ...passing, readyIn: 315 })).toBe(225);
  });

  it('given a course whose steadiness comes to lie just beyond its band, moves by no more than that', () => {
    const passing = { stone: 249, perMinute: 8, overIn: 270 };
    expect(launchIn({ ...passing, readyIn: 265 })).toBe(265);
    expect(launchIn({ ...passing, readyIn: 275 })).toBe(265);
  });

  it('given a stone that passes its band in 10 min if nobody touches the vents, is when it is ready under who does', () => {
    expect(launchIn({ stone: 225, perMinute: 6, readyIn: 900, overIn: 600 })).toBe(900);
  });

  it('given a stone that falls out of its band before it is steady, is now', () => {
    expect(launchIn({ stone: 262, perMinute: -5, readyIn: 900, fadesIn: 84 })).toBe(0);
  });

  it('given a stone that stays in its band, or is above it, is when it is ready', () => {
    expect(launchIn({ stone: 262, perMinute: 2, readyIn: 120 })).toBe(120);
    expect(launchIn({ stone: 291, perMinute: -1, readyIn: 820, overIn: 0 })).toBe(820);
  });

  it('given an estimate that may lie in the band already while its mean gets there in 18 min, is not known', () => {
    const grazing = { stone: 253, perMinute: -0.5, readyIn: 1080 };
    expect(launchIn(grazing, 4)).toBeNull();
    // in 30 s by its mean: named, and so is what is far below its band, and what is measured
    expect(launchIn({ ...grazing, readyIn: 30 }, 4)).toBe(30);
    expect(launchIn({ ...grazing, stone: 230 }, 4)).toBe(1080);
    expect(launchIn(grazing, 4, false)).toBe(1080);
  });
});
