import type { EngineState } from './engine-state.ts';
import type { Facts } from './facts.ts';

/**
 * When the stone will be ready, by running grill and person ahead: the stone's rate is what the heat gives, held back
 * by a person who throttles so that the stone glides into the band; the rate follows with the dome's lag.
 *   r* = min(r_heat, max((aim − T)/LOOK, −SINK)),  dr/dt = (r* − r)/LAG,  dT/dt = r
 * Ready at the first T within the band with |T(t) − T(t − 120 s)| ≤ 6 °C. T °C, r °C/min.
 */
export type ReadyForecast = { readyAt: number | null; readyBetween: [number, number] | null };

/** Minutes that people look ahead, minutes that a fire lags its vents, °C/min that a shut grill loses (our choice, on simulated cooks). */
const LOOK = 7;
const LAG = 3.5;
const SINK = 1.2;
/** Where in the band people aim at, as a share of it. */
const AIM = 0.65;
/** How long, s, the dome's drift goes on, and how long what the model did not foresee. */
const DRIFT_LASTS = 420;
const MISMATCH_LASTS = 600;

const STEP = 15;
const BACK = 120 / STEP;
const FURTHEST = 3000 / STEP;
const STEADY = 6;

/** 10 % and 90 % of ln((true wait + 1 min)/(said wait + 1 min)), by what the stone does: measured on simulated cooks. */
const SPREAD = {
  fast: [-0.24, 0.32],
  slow: [-0.4, 0.5],
  inside: [-0.12, 0.7],
  above: [-0.5, 0.3],
  baking: [-0.7, 1],
} as const;

type Start = { celsius: number; perMinute: number; before: number };

export function readyForecast(state: EngineState, facts: Facts): ReadyForecast {
  const { t, stone } = facts;
  if (!stone) return { readyAt: null, readyBetween: null };
  if (state.stone.state === 'ready') return { readyAt: t, readyBetween: [t, t] };
  const baking = state.onStone.at(-1);
  const busy = baking ? Math.max(30, baking.launchedAt + baking.offAfter - t) : 0;
  const wait = waitFrom(state, facts, startOf(facts, baking !== undefined));
  if (wait === null) return { readyAt: null, readyBetween: null };
  const [early, late] = SPREAD[baking ? 'baking' : kindOf(facts)];
  const all = busy + wait + 60;
  return {
    readyAt: t + all - 60,
    readyBetween: [t + Math.max(0, all * Math.exp(early) - 60), t + all * Math.exp(late) - 60],
  };
}

function kindOf({ stone, low, high }: Facts): keyof typeof SPREAD {
  if (!stone || stone.celsius > high) return 'above';
  if (stone.celsius >= low) return 'inside';
  return stone.pace < 3 ? 'slow' : 'fast';
}

/** A freed stone gains some °C/min at first (our choice, from what such stones do in the simulator). */
const FREED = 4;

function startOf({ stone }: Facts, isBaking: boolean): Start {
  const celsius = stone?.celsius ?? 0;
  if (isBaking) return { celsius, perMinute: FREED, before: FREED };
  const perMinute = stone?.pace ?? stone?.perMinute ?? 0;
  return { celsius, perMinute, before: (stone?.change ?? 2 * perMinute) / 2 };
}

/** Runs ahead. @returns seconds until ready, null where that is not within 50 min */
function waitFrom(state: EngineState, { dome, low, high }: Facts, start: Start): number | null {
  const { a, c } = state.model;
  let { celsius: x, perMinute: r } = start;
  const aim = low + AIM * (high - low);
  const air = dome ? dome.celsius : x + (r / 60 - c) / a;
  const drift = dome ? Math.max(-12, Math.min(12, dome.perMinute)) / 60 : 0;
  const mismatch = r / 60 - (a * (air - x) + c);
  const past: number[] = [];
  for (let k = BACK; k >= 0; k--) past.push(x - (start.before * k * STEP) / 60);
  for (let k = 1; k < FURTHEST; k++) {
    const s = k * STEP;
    const heated = air + drift * DRIFT_LASTS * (1 - Math.exp(-s / DRIFT_LASTS));
    const heat = 60 * (a * (heated - x) + c + mismatch * Math.exp(-s / MISMATCH_LASTS));
    const wanted = Math.min(heat, Math.max((aim - x) / LOOK, -SINK));
    r += (wanted - r) * (1 - Math.exp(-STEP / 60 / LAG));
    x += (r * STEP) / 60;
    past.push(x);
    const before = past[past.length - 1 - BACK] ?? x;
    if (x >= low && x <= high && Math.abs(x - before) <= STEADY) return s;
  }
  return null;
}
