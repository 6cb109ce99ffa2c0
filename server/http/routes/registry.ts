import type { Route } from '../route.ts';
import { brokerRoutes } from './machine/broker.ts';
import { cookRoutes } from './cook.ts';
import { eveningRoutes } from './evening.ts';
import { liveRoutes } from './live.ts';
import { metricsRoutes } from './machine/metrics.ts';
import type { RouteParts } from './parts.ts';
import { eventRoutes } from './event.ts';
import { photoRoutes } from './photo.ts';
import { pizzaRoutes } from './pizza.ts';
import { probeRoutes } from './probe.ts';
import { settingRoutes } from './machine/setting.ts';

/** The API, path by path. A new one: an entry in the list of the file that it belongs to. */
export const apiRoutes = (parts: RouteParts): Route[] => [
  ...liveRoutes(parts),
  ...metricsRoutes(parts),
  ...eventRoutes(parts),
  ...pizzaRoutes(parts),
  ...cookRoutes(parts),
  ...photoRoutes(parts),
  ...settingRoutes(parts),
  ...probeRoutes(parts),
  ...brokerRoutes(parts),
  ...eveningRoutes(parts),
];
