import type { Random } from '../random.ts';

/** A thermometer with its faults. Rates are per hour, times seconds, temperatures °C. */
export type Sensor = {
  /** Mean interval between reports (0.1 to 10 s) and its relative scatter. */
  every: number;
  jitter: number;
  /** First-order lag τ of the probe, up to 20 s. */
  lag: number;
  /** Lag of what it sits in, a thermowell or the spring of a dial, up to 120 s. */
  well: number;
  /** White noise, and noise that wanders with a memory of two minutes; one standard deviation each. */
  noise: number;
  wander: number;
  /** Step of the display; 0: none. */
  quantum: number;
  /** Constant error, and error that grows with time, °C/h. */
  bias: number;
  drift: number;
  spikes: { perHour: number; size: number };
  gaps: { perHour: number; longest: number };
  stuck: { perHour: number; longest: number };
  /** Open circuit: reports that say so instead of a value. */
  faults: { perHour: number; longest: number };
  /** From this second on it is dead: only faults. */
  diesAt?: number;
};

export type Sample = { t: number; celsius: number | null };

export const GOOD_SENSOR: Sensor = {
  every: 2,
  jitter: 0.03,
  lag: 6,
  well: 0,
  noise: 0.3,
  wander: 0.2,
  quantum: 0.1,
  bias: 0,
  drift: 0,
  spikes: { perHour: 0, size: 0 },
  gaps: { perHour: 0, longest: 0 },
  stuck: { perHour: 0, longest: 0 },
  faults: { perHour: 0, longest: 0 },
};

type Span = { from: number; to: number };

/** Spells of trouble: Poisson in time, each of a length skewed to the short. */
function spells(random: Random, perHour: number, longest: number, duration: number): Span[] {
  const found: Span[] = [];
  if (perHour <= 0) return found;
  let t = 0;
  while (true) {
    t += (-Math.log(1 - random.next()) * 3600) / perHour;
    if (t >= duration) return found;
    const length = Math.max(3, longest * random.next() ** 2.5);
    found.push({ from: t, to: t + length });
    t += length;
  }
}

const within = (spans: readonly Span[], t: number): boolean =>
  spans.some(({ from, to }) => t >= from && t < to);

/** The probe's own temperature a value a second: τ·dx/dt = T − x, exact over each second. */
function lagged(truth: readonly number[], lag: number): number[] {
  const keep = lag > 0 ? Math.exp(-1 / lag) : 0;
  let x = truth[0] ?? 0;
  return truth.map((celsius) => (x = celsius + (x - celsius) * keep));
}

function between(series: readonly number[], t: number): number {
  const i = Math.min(series.length - 1, Math.floor(t));
  const a = series[i] ?? 0;
  return a + ((series[Math.min(series.length - 1, i + 1)] ?? a) - a) * (t - i);
}

const quantise = (value: number, quantum: number): number =>
  quantum > 0 ? Math.round(value / quantum) * quantum : value;
const decimals = (value: number, places: number): number => Math.round(value * 10 ** places) / 10 ** places;

/** Everything that `sensor` reports of `truth`, a value a second. */
export function sample(truth: readonly number[], sensor: Sensor, random: Random): Sample[] {
  const duration = truth.length;
  const probe = lagged(lagged(truth, sensor.well), sensor.lag);
  const gaps = spells(random.fork('gaps'), sensor.gaps.perHour, sensor.gaps.longest, duration);
  const stuck = spells(random.fork('stuck'), sensor.stuck.perHour, sensor.stuck.longest, duration);
  const faults = spells(random.fork('faults'), sensor.faults.perHour, sensor.faults.longest, duration);
  const noise = createNoise(sensor, random.fork('noise'));
  const clock = random.fork('clock');
  const samples: Sample[] = [];
  let held: number | null = null;
  for (let t = clock.between(0, sensor.every); t < duration; t += interval(sensor, clock)) {
    const value = quantise(between(probe, t) + noise(t), sensor.quantum);
    if (within(gaps, t)) continue;
    const dead = within(faults, t) || t >= (sensor.diesAt ?? Infinity);
    if (!within(stuck, t)) held = value;
    samples.push({ t: decimals(t, 2), celsius: dead ? null : decimals(held ?? value, 2) });
  }
  return samples;
}

const interval = ({ every, jitter }: Sensor, clock: Random): number =>
  Math.max(0.05, every * (1 + jitter * clock.normal()));

/** All additive error at `t`: bias, drift, white, wandering, spikes. */
function createNoise(sensor: Sensor, random: Random): (t: number) => number {
  const MEMORY = 120;
  let wander = 0;
  let last = 0;
  return (t) => {
    const keep = Math.exp(-(t - last) / MEMORY);
    wander = keep * wander + Math.sqrt(1 - keep * keep) * sensor.wander * random.normal();
    const spiky = random.chance(1 - Math.exp((-sensor.spikes.perHour * (t - last)) / 3600));
    last = t;
    const spike = spiky ? sensor.spikes.size * random.between(0.3, 1) * (random.chance(0.5) ? 1 : -1) : 0;
    return sensor.bias + (sensor.drift * t) / 3600 + sensor.noise * random.normal() + wander + spike;
  };
}
