import { monitorEventLoopDelay } from 'node:perf_hooks';
import { familiesOf } from '../../metrics/families.ts';
import { OPENMETRICS, exposition } from '../../metrics/exposition.ts';
import { route, type Route } from '../../route.ts';
import type { RouteParts } from '../route-parts.ts';

/** Finer costs more than it tells, ms. */
const RESOLUTION_MS = 10;

/** For a monitoring system that keeps years of it. */
export function metricsRoutes({ session, store, version }: RouteParts): Route[] {
  let delay: ReturnType<typeof monitorEventLoopDelay> | null = null;
  /** Seconds; measured from the first scrape on. */
  function loopDelay() {
    const seen = delay;
    if (!seen) {
      delay = monitorEventLoopDelay({ resolution: RESOLUTION_MS });
      delay.enable();
    }
    // What the timer itself waits for is no delay.
    const late = (ns = 0): number => Math.max(0, ns / 1e9 - RESOLUTION_MS / 1000);
    const route = {
      '0.5': late(seen?.percentile(50)),
      '0.99': late(seen?.percentile(99)),
      '1.0': late(seen?.max),
    };
    seen?.reset();
    return route;
  }
  return [
    route('GET /metrics', {
      summary: 'What is measured and how the server does, in the text format of OpenMetrics 1.0.0.',
      givesFile: OPENMETRICS,
      act: ({ reply }) => {
        reply.header('cache-control', 'no-store');
        const { user, system } = process.cpuUsage();
        return exposition(
          familiesOf(session.now(), {
            version,
            queue: store.queued(),
            dropped: store.dropped(),
            loopDelay: loopDelay(),
            cpuSeconds: (user + system) / 1e6,
            residentBytes: process.memoryUsage.rss(),
          }),
        );
      },
    }),
  ];
}
