import type { RouteParts } from '../../http/routes/route-parts.ts';
import { BrokerService } from '../../broker/broker-service.ts';
import { Commands } from '../../cook/commands/commands.ts';
import { Ingest } from '../../cook/live/ingest.ts';
import type { Clock } from '../../cook/live/clock.ts';
import { CookSession } from '../../cook/live/cook-session.ts';
import type { SessionParts } from '../../cook/live/session-parts.ts';
import { ProbeService } from '../../cook/probes/probe-service.ts';
import { DeviceRegistry } from '../../cook/probes/device-registry.ts';
import { createLive, type Live, type Soon } from '../../hub/broadcast.ts';
import type { Source } from '../../source/source.ts';
import type { Store } from '../../store/store.ts';

type ServerDeps = {
  store: Store;
  clock: Clock;
  recording: SessionParts['recording'];
  /** Where frames come from; the broker's settings are among what a source may need. */
  sources(broker: BrokerService): Source[];
  /** How long the hub waits, so that what changes together goes out together. */
  soon?: Soon | undefined;
};

/** What routes act on, and the live line. */
export type Composed = Omit<RouteParts, 'version'> & { live: Live };

/**
 * The server's inside, put together once for the command, the tests and the benchmarks, from where things arrive to where
 * they come from: source → registry → ingest → session → hub, each knowing only the next. Nothing is started.
 */
export function composeServer({ store, clock, recording, sources, soon }: ServerDeps): Composed {
  const live = createLive(soon);
  const session = new CookSession({ store, clock, recording, hub: live });
  const ingest = new Ingest(session);
  const broker = new BrokerService(store);
  const registry = new DeviceRegistry({ sources: sources(broker), clock, cook: ingest });
  const probes = new ProbeService(store, session, registry);
  return { store, session, ingest, commands: new Commands(session), registry, probes, broker, live };
}
