import { stoneAtLaunch } from '../../../shared/cook/stone-at-launch.ts';
import { DEFAULT_TARGETS, type Band } from '../../../shared/engine.ts';
import type { Pizza, PizzaReview } from '../../../shared/evening/pizza.ts';
import type { RecordingHeader } from '../../../shared/recording.ts';
import type { EngineRecord, Picture, StoredReading } from '../../store/store.ts';
import { between, type Point } from './cook-curves.ts';

/** Readings of the dome looked back over for "at launch", s. */
const DOME_AT_LAUNCH_SECONDS = 20;
/** Readings of the stone may be looked back over for so long, s. */
const STONE_AT_LAUNCH_SECONDS = 60;

/** The good readings of a role's first channel, in time order. */
export function curveOf(
  readings: readonly StoredReading[],
  header: RecordingHeader,
  role: 'stone' | 'dome',
): Point[] {
  const id = header.channels.find((c) => c.role === role)?.id;
  return readings.flatMap((r) =>
    r.channel === id && r.celsius !== null && r.quality === 'good' ? [{ t: r.t, celsius: r.celsius }] : [],
  );
}

function meanBefore(curve: readonly Point[], t: number): number | null {
  const near = between(curve, t - DOME_AT_LAUNCH_SECONDS, t);
  return near.length > 0 ? near.reduce((sum, p) => sum + p.celsius, 0) / near.length : null;
}

/** What the curves and the engine say of one pizza, °C and s. @param band the stone's */
export function reviewPizza(
  pizza: Pizza,
  records: readonly EngineRecord[],
  stone: readonly Point[],
  dome: readonly Point[],
  band: Band,
): PizzaReview {
  const { id, launchedAt, offAt } = pizza;
  const none = {
    id,
    stoneAtLaunch: null,
    domeAtLaunch: null,
    drawDown: null,
    recoverySeconds: null,
    bakeSeconds: null,
  };
  if (launchedAt === null) return none;
  const before = stoneAtLaunch(launchedAt, records, stone);
  const domeAtLaunch = meanBefore(dome, launchedAt);
  const baking = between(stone, launchedAt, offAt ?? Infinity);
  // As arguments of one call the readings of a day would be too many.
  const lowest = baking.reduce<number | null>((low, p) => Math.min(low ?? Infinity, p.celsius), null);
  return {
    id,
    stoneAtLaunch: before,
    domeAtLaunch,
    drawDown: before !== null && lowest !== null ? Math.max(0, before - lowest) : null,
    recoverySeconds: offAt === null ? null : recovery(stone, offAt, band),
    bakeSeconds: offAt === null ? null : offAt - launchedAt,
  };
}

/** From `off` until the stone was back at its band's lower end; 0 when it never left, null when it did not come back. */
function recovery(stone: readonly Point[], off: number, band: Band): number | null {
  const back = stone.find((p) => p.t >= off && p.celsius >= band[0]);
  return back ? back.t - off : null;
}

/** Around a bake its curve is drawn from so long before the launch, until so long after the pizza came off, s. */
const SECONDS_BEFORE_LAUNCH = 30;
export const LOOKED_BACK = Math.max(DOME_AT_LAUNCH_SECONDS, STONE_AT_LAUNCH_SECONDS, SECONDS_BEFORE_LAUNCH);
const SECONDS_AFTER_OFF = 600;
/** Parts of a drawn bake, each with its lowest and highest reading. */
const CURVE_BUCKETS = 40;

/**
 * A curve around a bake, small: [s after the launch, °C], in time order. Nothing of a pizza that was not launched.
 * @param until when the next pizza was launched, s; Infinity after the last
 */
export function bakeCurve(
  { launchedAt, offAt }: Pizza,
  curve: readonly Point[],
  until: number,
): [number, number][] {
  if (launchedAt === null) return [];
  const [from, to] = [
    launchedAt - SECONDS_BEFORE_LAUNCH,
    Math.min(until, (offAt ?? launchedAt) + SECONDS_AFTER_OFF),
  ];
  const parts = new Map<number, Point[]>();
  for (const p of between(curve, from, to)) {
    const part = Math.min(CURVE_BUCKETS - 1, Math.floor(((p.t - from) / (to - from)) * CURVE_BUCKETS));
    const points = parts.get(part);
    if (points) points.push(p);
    else parts.set(part, [p]);
  }
  return [...parts.values()].flatMap((points) => {
    const by = [...points].sort((a, b) => a.celsius - b.celsius);
    const ends = [...new Set([by[0], by.at(-1)])].filter((p) => p !== undefined).sort((a, b) => a.t - b.t);
    return ends.map(({ t, celsius }): [number, number] => [
      Math.round(t - launchedAt),
      Math.round(celsius * 10) / 10,
    ]);
  });
}

export const stoneBand = (header: RecordingHeader): Band => header.targets.stone ?? DEFAULT_TARGETS.stone;

/** A drawing a channel for the list, from thinned readings. */
export function pictureOf(thinned: readonly StoredReading[]): Picture {
  const drawn = new Map<string, [number, number][]>();
  for (const { channel, t, celsius, quality } of thinned) {
    if (celsius === null || quality === 'bad') continue;
    const points = drawn.get(channel) ?? [];
    points.push([Math.round(t), Math.round(celsius)]);
    drawn.set(channel, points);
  }
  // Unlike an assignment this makes a member of every name.
  return Object.fromEntries(drawn);
}
