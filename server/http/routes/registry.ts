import type { Route } from '../route.ts';
import { cookRoutes } from './cook.ts';
import { eveningRoutes } from './evening.ts';
import { liveRoutes } from './live.ts';
import type { RouteParts } from './parts.ts';
import { personRoutes } from './person.ts';
import { pizzaRoutes } from './pizza.ts';
import { probeRoutes } from './probe.ts';
import { settingRoutes } from './setting.ts';

/** The API, path by path. A new one: an entry in the list of the file that it belongs to. */
export const apiRoutes = (parts: RouteParts): Route[] => [
  ...liveRoutes(parts),
  ...personRoutes(parts),
  ...pizzaRoutes(parts),
  ...cookRoutes(parts),
  ...settingRoutes(parts),
  ...probeRoutes(parts),
  ...eveningRoutes(parts),
];
