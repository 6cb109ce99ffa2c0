import type { EngineOutput } from '../engine.ts';
import { SAME_LAUNCH_SECONDS } from './bakes.ts';

type Point = { t: number; celsius: number };

/** A launch is on record as the engine took it in: within so many seconds of its time. */
export const AT_LAUNCH_SECONDS = 2;
/** Without a record, what was read before the launch, s: a lid is up and a base may touch in the last of it. */
const READ_BEFORE_SECONDS = { from: 60, to: 5 } as const;

/**
 * The one stone temperature of a launch: the engine's estimate just before the pizza touches, °C. Where it saw the touch on
 * the curve, that is what the stone had before its fall; where the launch was tapped, what the stone was taken to have at
 * the tap; where neither is on record (a second pizza beside the first, an entry made later), the median of
 * what was read in the minute before. Null where nothing was known.
 * @param launchedAt s since the cook started
 * @param records what the engine gave out in the cook
 * @param readings the stone's good readings, in time order
 */
export function stoneAtLaunch(
  launchedAt: number,
  records: readonly EngineOutput[],
  readings: readonly Point[],
): number | null {
  return (
    seenBefore(launchedAt, records) ?? takenAtTap(launchedAt, records) ?? medianBefore(launchedAt, readings)
  );
}

function seenBefore(launchedAt: number, records: readonly EngineOutput[]): number | null {
  let nearest: { apart: number; celsius: number } | null = null;
  for (const record of records) {
    if (record.type !== 'noticed' || record.event !== 'launch') continue;
    const apart = Math.abs(record.at - launchedAt);
    const { before } = record.why;
    if (typeof before === 'number' && apart < Math.min(SAME_LAUNCH_SECONDS, nearest?.apart ?? Infinity))
      nearest = { apart, celsius: before };
  }
  return nearest?.celsius ?? null;
}

function takenAtTap(launchedAt: number, records: readonly EngineOutput[]): number | null {
  const record = records.find(
    (each) =>
      each.type === 'state' && each.state === 'baking' && Math.abs(each.t - launchedAt) <= AT_LAUNCH_SECONDS,
  );
  const stone = record?.type === 'state' ? record.why['stone'] : undefined;
  return typeof stone === 'number' ? stone : null;
}

function medianBefore(launchedAt: number, readings: readonly Point[]): number | null {
  const near = readings
    .filter(({ t }) => t >= launchedAt - READ_BEFORE_SECONDS.from && t <= launchedAt - READ_BEFORE_SECONDS.to)
    .map(({ celsius }) => celsius)
    .sort((a, b) => a - b);
  return near[near.length >> 1] ?? null;
}
