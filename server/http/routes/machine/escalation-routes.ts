import { escalationView, patchEscalation } from '../../../../shared/api/escalation.ts';
import type { Escalator } from '../../../escalate/escalator.ts';
import { route, type Route } from '../../route.ts';

/** Where urgent alerts go that nobody has seen. Secrets come in and never go out. */
export const escalationRoutes = (escalator: Escalator): Route[] => [
  route('GET /api/escalation', {
    summary: 'Where unseen urgent alerts go, without secrets, and why the last try failed.',
    needs: 'act',
    answer: escalationView,
    act: () => escalator.view(),
  }),
  route('PATCH /api/escalation', {
    summary: 'Sets where unseen urgent alerts go; null turns a way off.',
    body: patchEscalation,
    answer: escalationView,
    act: ({ body }) => escalator.patch(body),
  }),
  route('POST /api/escalation/test', {
    summary: 'Sends a trial notice to all that is set.',
    answer: escalationView,
    act: () => escalator.test(),
  }),
];
