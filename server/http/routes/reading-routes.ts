import { accepted, postReadings, postSpot, spotAnswer } from '../../../shared/api/api.ts';
import type { RouteParts } from './route-parts.ts';
import { route, type Route } from '../route.ts';

/** Readings from outside; their times are set in server/cook/live/ingest.ts. */
export const readingRoutes = ({ ingest }: RouteParts): Route[] => [
  route('POST /api/readings', {
    summary: 'Takes readings; answers once they are safe on disk.',
    body: postReadings,
    status: 202,
    answer: accepted,
    act: async ({ body }) => ({ accepted: await ingest.postReadings(body.readings) }),
  }),
  route('POST /api/spot', {
    summary: 'Takes a reading typed in from an infrared thermometer and corrects it for the surface.',
    body: postSpot,
    status: 202,
    answer: spotAnswer,
    act: ({ body }) => ingest.postSpot(body),
  }),
];
