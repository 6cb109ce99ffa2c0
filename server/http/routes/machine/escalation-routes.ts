import { escalationView, patchEscalation } from '../../../../shared/api/escalation.ts';
import type { Escalator } from '../../../escalate/escalator.ts';
import { route, type Route } from '../../route.ts';

/** Where urgent alerts go that nobody has seen. Secrets come in and never go out. */
export const escalationRoutes = (escalator: Escalator): Route[] => [
  route({
    method: 'GET',
    path: '/api/escalation',
    summary: 'Where unseen urgent alerts go, without secrets, and why the last try failed.',
    needs: 'act',
    status: 200,
    answer: escalationView,
    act: () => escalator.view(),
  }),
  route({
    method: 'PATCH',
    path: '/api/escalation',
    summary: 'Sets where unseen urgent alerts go; null turns a way off.',
    body: patchEscalation,
    status: 200,
    answer: escalationView,
    act: ({ body }) => escalator.patch(body),
  }),
  route({
    method: 'POST',
    path: '/api/escalation/test',
    summary: 'Sends a trial notice to all that is set.',
    status: 200,
    answer: escalationView,
    act: () => escalator.test(),
  }),
];
