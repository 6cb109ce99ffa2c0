import { health } from '../../../shared/api/api.ts';
import { now } from '../../../shared/api/live.ts';
import { SCHEMA_VERSION } from '../../store/migrations.ts';
import type { RouteParts } from './route-parts.ts';
import { route, type Route } from '../route.ts';

export const liveRoutes = ({ session, store, version }: RouteParts): Route[] => [
  route('GET /api/health', {
    summary: 'The server is up.',
    answer: health,
    act: () => ({
      status: 'ok',
      version,
      schema: SCHEMA_VERSION,
      cook: session.cook?.id ?? null,
      dropped: store.dropped(),
    }),
  }),
  route('GET /api/now', {
    summary: 'What the first screen shows.',
    answer: now,
    act: () => session.now(),
  }),
];
