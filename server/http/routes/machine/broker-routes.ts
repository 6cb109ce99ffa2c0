import { brokerView, patchBroker } from '../../../../shared/api/broker.ts';
import type { RouteParts } from '../route-parts.ts';
import { route, type Route } from '../../route.ts';

/** The user's own MQTT broker. Secrets come in and never go out. */
export const brokerRoutes = ({ broker }: RouteParts): Route[] => [
  route('GET /api/broker', {
    summary: 'The MQTT broker that is set, without its password.',
    needs: 'act',
    answer: brokerView,
    act: () => broker.view(),
  }),
  route('PATCH /api/broker', {
    summary: 'Sets the MQTT broker whose topics can be probes; null takes it away.',
    body: patchBroker,
    answer: brokerView,
    act: ({ body }) => broker.patch(body),
  }),
];
