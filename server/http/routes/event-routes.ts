import { z } from 'zod';
import { eventAnswer, shelve } from '../../../shared/api/api.ts';
import { cookEvent } from '../../../shared/event.ts';
import { ALERTS } from '../../../shared/alert/kinds.ts';
import type { RouteParts } from './route-parts.ts';
import { done, route, type Route } from '../route.ts';

const eventId = z.object({ id: z.string().min(1).max(64) });
const alertName = z.object({ alert: z.enum(ALERTS) });

export const eventRoutes = ({ commands }: RouteParts): Route[] => [
  route('POST /api/events', {
    summary: 'Something happened at the grill.',
    body: cookEvent,
    status: 201,
    answer: eventAnswer,
    act: ({ body }) => commands.posted(body),
  }),
  route('DELETE /api/events/:id', {
    summary: 'Takes an event back.',
    params: eventId,
    answer: eventAnswer,
    act: ({ params }) => commands.undo(params.id),
  }),
  route('POST /api/questions/:id', {
    summary: 'Answers what the engine asked.',
    params: z.object({ id: z.string().max(80) }),
    body: z.object({ yes: z.boolean() }),
    status: 201,
    answer: eventAnswer,
    act: ({ params, body }) => commands.answer(params.id, body.yes),
  }),
  route('POST /api/alerts/:alert/acknowledge', {
    summary: 'An alert was seen.',
    params: alertName,
    status: 201,
    answer: eventAnswer,
    act: ({ params }) => commands.event({ event: 'acknowledge', alert: params.alert }),
  }),
  route('POST /api/alerts/:alert/shelve', {
    summary: 'Quiet for a while.',
    params: alertName,
    body: shelve,
    status: 201,
    answer: eventAnswer,
    act: ({ params, body }) =>
      commands.posted({ event: 'shelve', alert: params.alert, seconds: body.minutes * 60 }),
  }),
  route('POST /api/alerts/:alert/unshelve', {
    summary: 'No longer quiet.',
    params: alertName,
    status: 201,
    answer: eventAnswer,
    act: ({ params }) => commands.event({ event: 'unshelve', alert: params.alert }),
  }),
  route('POST /api/cautions/:id/acknowledge', {
    summary: 'A caution is known: it is not shown again in this cook.',
    params: eventId,
    answer: done,
    act: ({ params }) => commands.acknowledgeCaution(params.id),
  }),
  route('DELETE /api/cautions', {
    summary: 'All cautions are shown again.',
    answer: done,
    act: () => commands.restoreCautions(),
  }),
];
