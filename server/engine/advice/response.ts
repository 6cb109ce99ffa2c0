/**
 * How the stone answers the dome, in the two numbers that a controller needs: dS/dt = a·(D − S) + c. Learnt by recursive
 * least squares with forgetting, since the share of the fire that comes from below wanders. S stone, D dome, °C; a in
 * 1/min, c in °C/min; p: covariance of (a, c). Plain JSON.
 */
export type Response = { a: number; c: number; paa: number; pac: number; pcc: number; at: number };

/** Before anything was seen: 20 min, 40 °C above the dome in the end. Own estimate, from the half of the bank to tune on. */
const INITIAL_A = 1 / 20;
const INITIAL_C = 40 / 20;

export const freshResponse = (): Response => ({
  a: INITIAL_A,
  c: INITIAL_C,
  paa: (0.4 * INITIAL_A) ** 2,
  pac: 0,
  pcc: 2 ** 2,
  at: -1e6,
});

/** Error of a rate, °C/min, and how far a and c wander in a minute. */
const RATE_ERROR_PER_MINUTE = 0.7;
const RANDOM_WALK = { a: 0.002, c: 0.15 };
/** No stone takes less than 5 or more than 60 min, nor ends up so much above or below its dome, °C. */
const RESPONSE_LIMITS = { fast: 1 / 5, slow: 1 / 60, above: 150, below: -60 };

/** Learns from a stone that is `excess` °C below the dome and changes by `rate` °C/min. */
export function teachResponse(response: Response, t: number, excess: number, rate: number): void {
  const minutes = Math.min(1, (t - response.at) / 60);
  response.at = t;
  response.paa += minutes * RANDOM_WALK.a ** 2;
  response.pcc += minutes * RANDOM_WALK.c ** 2;
  const ha = response.paa * excess + response.pac;
  const hc = response.pac * excess + response.pcc;
  const s = excess * ha + hc + RATE_ERROR_PER_MINUTE ** 2 / Math.max(0.05, minutes);
  const error = rate - response.a * excess - response.c;
  response.a += (ha / s) * error;
  response.c += (hc / s) * error;
  response.paa -= (ha * ha) / s;
  response.pac -= (ha * hc) / s;
  response.pcc -= (hc * hc) / s;
  response.a = Math.min(RESPONSE_LIMITS.fast, Math.max(RESPONSE_LIMITS.slow, response.a));
  response.c = Math.min(
    RESPONSE_LIMITS.above * response.a,
    Math.max(RESPONSE_LIMITS.below * response.a, response.c),
  );
}

/** What the stone comes to above a dome that stays, °C. */
export const offsetOf = ({ a, c }: Response): number => c / a;

/** How fast a dome falls once the vents are shut, 1/min, and to what, °C; how long until it does, min. */
const DOME_FALL_PER_MINUTE = 1 / 25;
const DOME_FLOOR_CELSIUS = 150;
const VENT_DELAY_MINUTES = 8;
const STEP_MINUTES = 0.5;

/** The dome `minutes` after the vents were shut under one of `dome` °C that moved by so many °C/min. */
export function domeIfShut(dome: number, perMinute: number, minutes: number): number {
  const m = Math.min(minutes, VENT_DELAY_MINUTES);
  const then = dome + perMinute * (m - (m * m) / (2 * VENT_DELAY_MINUTES));
  if (minutes <= VENT_DELAY_MINUTES || then <= DOME_FLOOR_CELSIUS) return then;
  return (
    DOME_FLOOR_CELSIUS +
    (then - DOME_FLOOR_CELSIUS) * Math.exp(-DOME_FALL_PER_MINUTE * (minutes - VENT_DELAY_MINUTES))
  );
}

/** The highest that the stone comes to in 25 min if the vents are shut now: nobody can have it lower. */
export function peakIfShut(
  { a, c }: Response,
  { stone, dome, domePerMinute }: { stone: number; dome: number; domePerMinute: number },
): number {
  let [s, peak] = [stone, stone];
  for (let minute = 0; minute < 25; minute += STEP_MINUTES) {
    s += STEP_MINUTES * (a * (domeIfShut(dome, domePerMinute, minute) - s) + c);
    peak = Math.max(peak, s);
  }
  return peak;
}
