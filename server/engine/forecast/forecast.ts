import type { Forecast, ForecastPoint } from '../../../shared/engine.ts';
import type { EngineState } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';
import { STANDARD_ERRORS_80 } from '../../../shared/statistics/normal.ts';
import { STEP_SECONDS } from '../heat/heat-history.ts';
import { presentTrajectory } from './stone-trajectory.ts';
import { readyForecast } from './ready-time.ts';

/** @param floor nothing beside a fire gets colder than that, °C */
function points(
  t: number,
  values: readonly number[],
  errors: readonly number[],
  floor: number,
): ForecastPoint[] {
  const found: ForecastPoint[] = [];
  for (let i = 0; i < values.length; i += 60 / STEP_SECONDS) {
    const celsius = Math.max(floor, values[i] ?? floor);
    const half = STANDARD_ERRORS_80 * (errors[i] ?? 0);
    found.push({
      t: t + i * STEP_SECONDS,
      celsius,
      low: Math.max(floor, celsius - half),
      high: celsius + half,
    });
  }
  return found;
}

/** Warmer than the garden, or as cold as stone or dome are already, °C. */
const COLDEST_CELSIUS = 10;

function peakOf(t: number, values: readonly number[]): { celsius: number; at: number } | null {
  let best = 0;
  values.forEach((value, i) => {
    if (value > (values[best] ?? 0)) best = i;
  });
  if (best === 0 || best >= values.length - 1) return null;
  return { celsius: values[best] ?? 0, at: t + best * STEP_SECONDS };
}

/** When the course first satisfies `is`, s from now, straight between steps ignored; null when never. */
function firstWhere(values: readonly number[], is: (value: number) => boolean): number | null {
  const i = values.findIndex(is);
  return i < 0 ? null : i * STEP_SECONDS;
}

const later = (t: number, s: number | null): number | null => (s === null ? null : t + s);

function blindForecast(t: number): Forecast {
  return {
    t,
    type: 'forecast',
    stone: null,
    stoneError: null,
    perMinute: null,
    perMinuteError: null,
    dome: null,
    domePerMinute: null,
    bandAt: null,
    readyAt: null,
    readyBetween: null,
    peak: null,
    overAt: null,
    fadesAt: null,
    curves: { stone: [], dome: [] },
  };
}

export function forecastOf(
  state: EngineState,
  facts: Facts,
  trajectory = presentTrajectory(state, facts),
): Forecast {
  const { t, stone, dome, low, high } = facts;
  if (!stone?.isFresh || !trajectory) return blindForecast(t);
  const floor = Math.min(COLDEST_CELSIUS, stone.celsius, dome?.celsius ?? COLDEST_CELSIUS);
  const isBaking = state.onStone.length > 0;
  const over = stone.celsius > high ? 0 : firstWhere(trajectory.stone, (value) => value > high);
  const fades = stone.celsius < low ? null : firstWhere(trajectory.stone, (value) => value < low);
  return {
    ...blindForecast(t),
    stone: stone.celsius,
    stoneError: stone.error,
    perMinute: stone.perMinute,
    perMinuteError: stone.perMinuteError,
    dome: dome?.celsius ?? null,
    domePerMinute: dome?.perMinute ?? null,
    ...readyForecast(state, facts, trajectory),
    peak: isBaking ? null : peakOf(t, trajectory.stone),
    overAt: isBaking ? null : later(t, over),
    fadesAt: isBaking ? null : later(t, fades),
    curves: {
      stone: points(t, trajectory.stone, trajectory.stoneError, floor),
      dome: dome ? points(t, trajectory.dome, trajectory.domeError, floor) : [],
    },
  };
}
