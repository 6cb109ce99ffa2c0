import type { BrokerService } from '../../broker/broker-service.ts';
import type { Ingest } from '../../cook/live/ingest.ts';
import type { Commands } from '../../cook/commands/commands.ts';
import type { ProbeService } from '../../cook/probes/probe-service.ts';
import type { DeviceRegistry } from '../../cook/probes/device-registry.ts';
import type { CookSession } from '../../cook/live/cook-session.ts';
import type { Store } from '../../store/store.ts';

/** What routes act on. */
export type RouteParts = {
  session: CookSession;
  ingest: Ingest;
  commands: Commands;
  registry: DeviceRegistry;
  probes: ProbeService;
  broker: BrokerService;
  store: Store;
  version: string;
};
