import type { EngineOutput } from '../../../shared/engine.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { ventPosition } from '../../../shared/evening/vent-words.ts';
import type { RecordedEvent } from '../../../shared/event.ts';
import type { VentsCall, Waits } from './figures.ts';

/** What engine and people left on record of a cook's times, s since it started. Pure. */

type Entry = { t: number; event: RecordedEvent };
type Launched = Pick<Pizza, 'launchedAt' | 'offAt'>;

/** When the stone was first ready; null where it never was. */
export const firstReady = (records: readonly EngineOutput[]): number | null =>
  records.find((record) => record.type === 'state' && record.state === 'ready')?.t ?? null;

/** The first readiness after `from` and before `to`, where the stone was not ready at `from`. */
function readyBetween(records: readonly EngineOutput[], from: number, to: number): number | null {
  return records.find((r) => r.type === 'state' && r.state === 'ready' && r.t > from && r.t <= to)?.t ?? null;
}

/** @param pizzas that were launched, in any order. A pizza that shared the stone with another says nothing of it alone. */
export function waitsOf(
  pizza: Launched,
  pizzas: readonly Launched[],
  records: readonly EngineOutput[],
): Waits {
  const { launchedAt, offAt } = pizza;
  if (launchedAt === null) return { waitedSeconds: null, readyAgainSeconds: null };
  const others = pizzas.filter((other) => other !== pizza && other.launchedAt !== null);
  const isAlone = (t: number): boolean =>
    others.every((other) => (other.launchedAt ?? 0) > t || (other.offAt ?? Infinity) <= t);
  const before = Math.max(
    -Infinity,
    ...others.flatMap((o) => (o.offAt !== null && o.offAt <= launchedAt ? [o.offAt] : [])),
  );
  const next = Math.min(
    Infinity,
    ...others.flatMap((o) => ((o.launchedAt ?? 0) > launchedAt ? [o.launchedAt ?? 0] : [])),
  );
  const readyAt = isAlone(launchedAt) ? readyBetween(records, before, launchedAt) : null;
  const againAt = offAt === null || offAt > next ? null : readyBetween(records, offAt, next);
  return {
    waitedSeconds: readyAt === null ? null : launchedAt - readyAt,
    readyAgainSeconds: againAt === null || offAt === null ? null : againAt - offAt,
  };
}

/** Whether vents that were set so may be taken to have been closed further. */
const isClosing = (note: string | undefined): boolean => ventPosition(note ?? '') !== 'open';

/**
 * The last call to close the vents before the stone was at its highest, and when they were closed after it: by a person's
 * word, or by what the dome showed.
 * @param peakAt s; null without a peak
 */
export function ventsCallOf(
  records: readonly EngineOutput[],
  events: readonly Entry[],
  peakAt: number | null,
): VentsCall | null {
  const call = records.findLast(
    (r) =>
      r.type === 'alert' && r.alert === 'overshoot-ahead' && r.again === undefined && r.t <= (peakAt ?? -1),
  );
  if (!call) return null;
  const closed = [
    ...events.flatMap(({ t, event }) => (event.event === 'vent' && isClosing(event.note) ? [t] : [])),
    ...records.flatMap((r) => (r.type === 'noticed' && r.event === 'vent' ? [r.at] : [])),
  ].filter((t) => t >= call.t);
  return { calledAt: call.t, closedAt: closed.length === 0 ? null : Math.min(...closed) };
}
