import { DEFAULT_TARGETS, type Band } from '../../shared/engine.ts';
import type { Pizza, PizzaReview } from '../../shared/pizza.ts';
import type { RecordingHeader } from '../../shared/recording.ts';
import type { Picture, StoredReading } from '../store/store.ts';

/** Readings looked back over for "at launch", s. */
export const AT_LAUNCH = 20;

type Point = { t: number; celsius: number };

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

const between = (curve: readonly Point[], from: number, to: number): Point[] =>
  curve.filter((p) => p.t >= from && p.t <= to);

function meanBefore(curve: readonly Point[], t: number): number | null {
  const near = between(curve, t - AT_LAUNCH, t);
  return near.length > 0 ? near.reduce((sum, p) => sum + p.celsius, 0) / near.length : null;
}

/** What the curves say of one pizza, °C and s. @param band the stone's */
export function reviewPizza(
  pizza: Pizza,
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
  const stoneAtLaunch = meanBefore(stone, launchedAt);
  const domeAtLaunch = meanBefore(dome, launchedAt);
  const baking = between(stone, launchedAt, offAt ?? Infinity);
  const lowest = baking.length > 0 ? Math.min(...baking.map((p) => p.celsius)) : null;
  return {
    id,
    stoneAtLaunch,
    domeAtLaunch,
    drawDown: stoneAtLaunch !== null && lowest !== null ? Math.max(0, stoneAtLaunch - lowest) : null,
    recoverySeconds: offAt === null ? null : recovery(stone, offAt, band),
    bakeSeconds: offAt === null ? null : offAt - launchedAt,
  };
}

/** From `off` until the stone was back at its band's lower end; 0 when it never left, null when it did not come back. */
function recovery(stone: readonly Point[], off: number, band: Band): number | null {
  const back = stone.find((p) => p.t >= off && p.celsius >= band[0]);
  return back ? back.t - off : null;
}

export const stoneBand = (header: RecordingHeader): Band => header.targets.stone ?? DEFAULT_TARGETS.stone;

/** A drawing a channel for the list, from thinned readings. */
export function pictureOf(thinned: readonly StoredReading[]): Picture {
  const picture: Picture = {};
  for (const { channel, t, celsius, quality } of thinned)
    if (celsius !== null && quality !== 'bad')
      (picture[channel] ??= []).push([Math.round(t), Math.round(celsius)]);
  return picture;
}
