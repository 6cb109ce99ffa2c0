import { STEADY_CELSIUS, STEP_SECONDS, TWO_MINUTES } from '../heat/heat-history.ts';
import { MAX_LOOKAHEAD_STEPS, type Trajectory } from './stone-trajectory.ts';
import type { EngineState } from '../engine-state.ts';
import type { Facts } from '../estimate/facts.ts';

/**
 * When the stone will be ready, by running grill and person ahead: the stone's rate is what the heat gives, held back
 * by a person who throttles so that the stone glides into the band; the rate follows with the dome's lag.
 *   r* = min(r_heat, max((aim − T)/LOOKAHEAD_MINUTES, −SHUT_LOSS_PER_MINUTE)),  dr/dt = (r* − r)/FIRE_LAG_MINUTES,  dT/dt = r
 * A stone that falls within or below the band is held by opening the vents: r* ≥ min(0, (aim − T)/LOOKAHEAD_MINUTES) there.
 * Ready at the first T within the band with |T(t) − T(t − 120 s)| ≤ 6 °C. T °C, r °C/min.
 */
type ReadyForecast = {
  bandAt: number | null;
  readyAt: number | null;
  readyBetween: [number, number] | null;
};

/** Minutes that people look ahead, minutes that a fire lags its vents, °C/min that a shut grill loses (our choice, on simulated cooks). */
const LOOKAHEAD_MINUTES = 7;
const FIRE_LAG_MINUTES = 3.5;
const SHUT_LOSS_PER_MINUTE = 1.2;
/** Where in the band people aim at, as a share of it. */
const AIM_SHARE = 0.65;

/**
 * 10 % and 90 % of ln((true wait + 1 min)/(said wait + 1 min)), by what the stone does: measured on simulated cooks. The later
 * end is moved out by SPREAD_FACTOR, of a stone that is measured and of one that is only looked at: people let it come later than
 * that on other grills. By `npm run bench:engine -- --tune ranges` on the half to tune on, where the truth is then later than
 * the range one time in ten. Over 160 cooks of that half the range of a stone that slows down inside its band holds 0.82 of the
 * time with its own, 0.65 with [−0.12, 0.7]: either it is held there soon, or it goes over the top and is long in coming back.
 */
const SCENARIO_SPREAD = {
  fast: [-0.24, 0.32],
  slow: [-0.6, 0.9],
  inside: [-0.25, 1],
  above: [-0.4, 0.3],
  baking: [-0.7, 1],
} as const;
export const SPREAD_FACTOR = { measured: 1.4, estimated: 1.9 };

type Start = { celsius: number; perMinute: number; before: number };

export function readyForecast(state: EngineState, facts: Facts, trajectory: Trajectory): ReadyForecast {
  const { t, stone } = facts;
  if (!stone) return { bandAt: null, readyAt: null, readyBetween: null };
  if (state.stone.state === 'ready') return { bandAt: null, readyAt: t, readyBetween: [t, t] };
  const baking = state.onStone.at(-1);
  const busy = baking ? Math.max(30, baking.launchedAt + baking.offAfter - t) : 0;
  const start = startOf(facts, baking !== undefined);
  const { enters, wait } = state.givenDome
    ? waitAlong(trajectory.further, facts, start)
    : waitFrom(trajectory, facts, start);
  const bandAt = enters === null || stone.celsius >= facts.low ? null : t + busy + enters;
  if (wait === null) return { bandAt, readyAt: null, readyBetween: null };
  const [early, spread] = SCENARIO_SPREAD[baking ? 'baking' : kindOf(facts)];
  const late = spread * (stone.isEstimate ? SPREAD_FACTOR.estimated : SPREAD_FACTOR.measured);
  const all = busy + wait + 60;
  return {
    bandAt,
    readyAt: t + all - 60,
    readyBetween: [t + Math.max(0, all * Math.exp(early) - 60), t + all * Math.exp(late) - 60],
  };
}

function kindOf({ stone, low, high }: Facts): keyof typeof SCENARIO_SPREAD {
  if (!stone || stone.celsius > high) return 'above';
  if (stone.celsius >= low) return 'inside';
  return stone.pace < 3 ? 'slow' : 'fast';
}

/** A freed stone gains some °C/min at first (our choice, from what such stones do in the simulator). */
const FREED_PER_MINUTE = 4;

function startOf({ stone }: Facts, isBaking: boolean): Start {
  const celsius = stone?.celsius ?? 0;
  if (isBaking) return { celsius, perMinute: FREED_PER_MINUTE, before: FREED_PER_MINUTE };
  const perMinute = stone?.pace ?? stone?.perMinute ?? 0;
  return { celsius, perMinute, before: (stone?.change ?? 2 * perMinute) / 2 };
}

/** Seconds until the stone enters its band from below, and until it is ready; null where that is not within 50 min. */
type Wait = { enters: number | null; wait: number | null };

/** Looks along a course of the stone, the 2 min before now first, for the moments asked for. */
function waitOf(past: readonly number[], { low, high }: Facts): Wait {
  let enters: number | null = null;
  for (let i = TWO_MINUTES + 1; i < past.length; i++) {
    const [x, then] = [past[i] ?? 0, past[i - TWO_MINUTES] ?? 0];
    if (x >= low) enters ??= (i - TWO_MINUTES) * STEP_SECONDS;
    if (x >= low && x <= high && Math.abs(x - then) <= STEADY_CELSIUS)
      return { enters, wait: (i - TWO_MINUTES) * STEP_SECONDS };
  }
  return { enters, wait: null };
}

const pastOf = ({ celsius, before }: Start): number[] =>
  Array.from(
    { length: TWO_MINUTES + 1 },
    (_, i) => celsius - (before * (TWO_MINUTES - i) * STEP_SECONDS) / 60,
  );

/** Where the dome to come is known. */
const waitAlong = (further: readonly number[], facts: Facts, start: Start): Wait =>
  waitOf([...pastOf(start), ...further.slice(1)], facts);

/** Runs ahead with a person at the vents. */
function waitFrom(trajectory: Trajectory, facts: Facts, start: Start): Wait {
  let { celsius: x, perMinute: r } = start;
  const course = trajectory.habitual ?? trajectory.further;
  const aim = facts.low + AIM_SHARE * (facts.high - facts.low);
  const past = pastOf(start);
  for (let k = 1; k < MAX_LOOKAHEAD_STEPS; k++) {
    const before = course[k - 1] ?? x;
    const untouched = (course[k] ?? before) - before;
    // Off the course that nobody touches, the stone is drawn back to it.
    const heat = 60 * (untouched / STEP_SECONDS + trajectory.follows * (before - x));
    const glide = (aim - x) / LOOKAHEAD_MINUTES;
    const throttled = Math.min(heat, Math.max(glide, -SHUT_LOSS_PER_MINUTE));
    const wanted = x <= facts.high ? Math.max(throttled, Math.min(0, glide)) : throttled;
    r += (wanted - r) * (1 - Math.exp(-STEP_SECONDS / 60 / FIRE_LAG_MINUTES));
    x += (r * STEP_SECONDS) / 60;
    past.push(x);
  }
  return waitOf(past, facts);
}
