import type { Route } from '../route.ts';
import { brokerRoutes } from './machine/broker-routes.ts';
import { cookRoutes } from './cook-routes.ts';
import { eveningRoutes } from './evening-routes.ts';
import { liveRoutes } from './live-routes.ts';
import { metricsRoutes } from './machine/metrics-routes.ts';
import type { RouteParts } from './route-parts.ts';
import { eventRoutes } from './event-routes.ts';
import { photoRoutes } from './photo-routes.ts';
import { pizzaRoutes } from './pizza-routes.ts';
import { probeRoutes } from './probe-routes.ts';
import { readingRoutes } from './reading-routes.ts';
import { settingRoutes } from './machine/setting-routes.ts';

/** The API, path by path. A new one: an entry in the list of the file that it belongs to. */
export const apiRoutes = (parts: RouteParts): Route[] => [
  ...liveRoutes(parts),
  ...readingRoutes(parts),
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
