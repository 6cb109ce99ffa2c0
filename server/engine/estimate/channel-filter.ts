/**
 * One channel's level and rate by a Kalman filter of constant velocity, made robust: its noise is learnt from the
 * innovations, a lone outlier is left out, and a jump that holds is followed at once. Times s, temperatures
 * °C.
 */

/** Level x °C, rate v °C/s and their covariance. */
export type Track = { x: number; v: number; p11: number; p12: number; p22: number };

/**
 * Over dt; q is the intensity of white-noise acceleration, °C²/s³: F = [1 dt; 0 1], Q = q·[dt³/3 dt²/2; dt²/2 dt]
 * (textbook form).
 */
export function predict(track: Track, dt: number, q: number): void {
  track.x += track.v * dt;
  track.p11 += dt * (2 * track.p12 + dt * track.p22) + (q * dt ** 3) / 3;
  track.p12 += dt * track.p22 + (q * dt ** 2) / 2;
  track.p22 += q * dt;
}

/**
 * State of a channel's filter: fixed size, plain JSON. `outlier` holds readings that leapt and are not
 * accepted yet.
 */
export type Filter = {
  track: Track | null;
  /** Time of the last reading of any quality, and of the last good one. */
  lastAt: number | null;
  good: number | null;
  /** Variance of a reading, °C², learnt; running mean of normalised innovations; usual interval between readings, s. */
  noise: number;
  innovationBias: number;
  every: number | null;
  outlier: { t: number; from: number; celsius: number; count: number } | null;
  /** Readings in a row that were not good. */
  doubtful: number;
  /** When it last leapt, and from what, °C. */
  jumpedAt: number | null;
  jumpedFrom: number;
};

export const freshFilter = (): Filter => ({
  track: null,
  lastAt: null,
  good: null,
  noise: 0.25,
  innovationBias: 0,
  every: null,
  outlier: null,
  doubtful: 0,
  jumpedAt: null,
  jumpedFrom: 0,
});

/**
 * Process noise of a channel, °C²/s³: a stone's rate drifts by some 0.5 °C/min in a minute, a dome's by some
 * 3 (our choice).
 */
export const PROCESS_NOISE = { stone: 2e-6, dome: 4e-5, other: 4e-5 } as const;

const MIN_VARIANCE = 0.03 ** 2;
const MAX_VARIANCE = 4 ** 2;
/** A gap after which the old rate says nothing any more, s. */
const FORGETS_AFTER_SECONDS = 240;

export type ReadingUse = 'used' | 'outlier' | 'jump';

/**
 * Takes a good reading in. @returns whether it was used, left out as an outlier, or taken as the end of a
 * jump
 */
export function takeReading(filter: Filter, t: number, celsius: number, processNoise: number): ReadingUse {
  const { track, good } = filter;
  countInterval(filter, t);
  if (!track || good === null || t - good > FORGETS_AFTER_SECONDS) return restart(filter, t, celsius);
  const dt = t - good;
  // A rate that leans to one side of the readings is a manoeuvre: lid, vents, pizza.
  const q =
    processNoise * (1 + Math.min(400, 25 * Math.max(0, Math.abs(filter.innovationBias) - 0.6) ** 2 * 16));
  predict(track, dt, q);
  const s = track.p11 + filter.noise;
  const innovation = celsius - track.x;
  const normalised = innovation / Math.sqrt(s);
  if (Math.abs(normalised) > 5 && Math.abs(innovation) > 2 && !isHeldJump(filter, t, celsius)) {
    filter.good = t;
    return 'outlier';
  }
  filter.good = t;
  if (filter.outlier) return follow(filter, celsius, t);
  learnNoise(filter, innovation, dt, normalised);
  update(track, innovation, s);
  return 'used';
}

/** With a reading whose innovation, °C, has the variance s; H = [1 0]. */
export function update(track: Track, innovation: number, s: number): void {
  const k1 = track.p11 / s;
  const k2 = track.p12 / s;
  track.x += k1 * innovation;
  track.v += k2 * innovation;
  track.p22 -= k2 * track.p12;
  track.p12 *= 1 - k1;
  track.p11 *= 1 - k1;
}

function countInterval(filter: Filter, t: number): void {
  if (filter.lastAt !== null && t > filter.lastAt) {
    const gap = t - filter.lastAt;
    // A pause is not the usual interval: it moves the mean by little.
    filter.every =
      filter.every === null ? gap : filter.every + 0.1 * (Math.min(gap, 3 * filter.every + 1) - filter.every);
  }
  filter.lastAt = t;
}

function restart(filter: Filter, t: number, celsius: number): ReadingUse {
  filter.track = { x: celsius, v: 0, p11: filter.noise + 0.25, p12: 0, p22: 0.05 ** 2 };
  filter.good = t;
  filter.innovationBias = 0;
  filter.outlier = null;
  return 'used';
}

/** A second reading out there, near the first or further on the same side, makes a jump; the first alone may be a spike. */
function isHeldJump(filter: Filter, t: number, celsius: number): boolean {
  const { outlier, track } = filter;
  if (!track) return true;
  const away = celsius - track.x;
  if (outlier && Math.sign(outlier.celsius - track.x) === Math.sign(away)) {
    const apart = Math.abs(celsius - outlier.celsius);
    const near = apart < Math.max(4, 0.5 * Math.abs(away), 8 * Math.sqrt(filter.noise));
    outlier.count = near ? outlier.count + 1 : 1;
    if (!near) outlier.from = t;
    outlier.celsius = celsius;
    outlier.t = t;
    return near && outlier.count >= 2 && t - outlier.from >= 1;
  }
  filter.outlier = { t, from: t, celsius, count: 1 };
  return false;
}

function follow(filter: Filter, celsius: number, t: number): ReadingUse {
  const { track, outlier } = filter;
  filter.outlier = null;
  if (!track || !outlier) return 'used';
  if (outlier.count < 2) {
    const s = track.p11 + filter.noise;
    update(track, celsius - track.x, s);
    return 'used';
  }
  filter.jumpedFrom = track.x;
  track.x = celsius;
  track.p11 = filter.noise;
  track.p12 = 0;
  track.p22 = 0.5 ** 2;
  filter.innovationBias = 0;
  filter.jumpedAt = t;
  return 'jump';
}

/** Innovation variance is p11 + r: what is left over p11 is the reading's own; slow, and blind to manoeuvres. */
function learnNoise(filter: Filter, innovation: number, dt: number, normalised: number): void {
  // Some readings must lean, not one: of a slow probe each would be a manoeuvre, and its noise would look too small.
  const share = 1 - Math.exp(-dt / Math.max(8, 4 * (filter.every ?? 0)));
  filter.innovationBias += share * (Math.max(-3, Math.min(3, normalised)) - filter.innovationBias);
  if (!filter.track || Math.abs(normalised) > 3.5 || Math.abs(filter.innovationBias) > 1) return;
  const seen = innovation ** 2 - filter.track.p11;
  filter.noise += 0.02 * (seen - filter.noise);
  filter.noise = Math.min(MAX_VARIANCE, Math.max(MIN_VARIANCE, filter.noise));
}

export type Estimate = { celsius: number; error: number; perSecond: number; perSecondError: number };

/** Level and rate carried on to `t`, with one standard error each; the level's has a floor for noise that wanders. */
export function estimateAt(filter: Filter, t: number, processNoise: number): Estimate | null {
  const { track, good } = filter;
  if (!track || good === null) return null;
  const dt = Math.max(0, t - good);
  const p11 = track.p11 + dt * (2 * track.p12 + dt * track.p22) + (processNoise * dt ** 3) / 3;
  return {
    celsius: track.x + track.v * dt,
    error: Math.sqrt(p11 + 0.2 ** 2),
    perSecond: track.v,
    perSecondError: Math.sqrt(track.p22 + processNoise * dt),
  };
}
