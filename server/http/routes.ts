import { Readable } from 'node:stream';
import { createInterface } from 'node:readline';
import { z } from 'zod';
import {
  accepted,
  cookDetail,
  cookList,
  eventAnswer,
  health,
  patchCook,
  patchSettings,
  postReadings,
  postSpot,
  readingList,
  rehearsalAct,
  settings,
  shelve,
  spotAnswer,
  startCook,
} from '../../shared/api.ts';
import { cookEvent } from '../../shared/event.ts';
import { now } from '../../shared/live.ts';
import { pizza, pizzaPatch, pizzaWish } from '../../shared/pizza.ts';
import { ALERTS } from '../../shared/words.ts';
import type { Conductor } from '../cook/conductor.ts';
import { detailOf, findCook, listCooks } from '../cook/history.ts';
import { exportCook, importCook } from '../cook/portable.ts';
import type { Store, StoredReading } from '../store/store.ts';
import { SCHEMA_VERSION } from '../store/migrations.ts';
import { Fault } from '../../shared/fault.ts';
import { route, type Route } from './route.ts';

const cookId = z.object({ id: z.coerce.number().int().min(1) });
const pizzaId = z.object({ id: z.string().min(1).max(64) });
const alertName = z.object({ alert: z.enum(ALERTS) });
const done = z.object({ done: z.literal(true) });
const DONE = { done: true } as const;

/** An instant as ISO 8601. */
const instant = z.iso.datetime({ offset: true }).transform((text) => Date.parse(text));

export type RouteParts = { conductor: Conductor; store: Store; version: string };

/** The API, path by path. A new one is one entry of a list. */
export const apiRoutes = (parts: RouteParts): Route[] => [
  ...liveRoutes(parts),
  ...personRoutes(parts),
  ...pizzaRoutes(parts),
  ...cookRoutes(parts),
];

const liveRoutes = ({ conductor, version }: RouteParts): Route[] => [
  route({
    method: 'GET',
    path: '/api/health',
    summary: 'The server is up.',
    status: 200,
    answer: health,
    act: () => ({ status: 'ok', version, schema: SCHEMA_VERSION, cook: conductor.runningId }),
  }),
  route({
    method: 'GET',
    path: '/api/now',
    summary: 'What the first screen shows.',
    status: 200,
    answer: now,
    act: () => conductor.now(),
  }),
  route({
    method: 'POST',
    path: '/api/readings',
    summary: 'Takes readings; answers once they are safe on disk.',
    body: postReadings,
    status: 202,
    answer: accepted,
    act: async ({ body }) => ({ accepted: await conductor.postReadings(body.readings) }),
  }),
  route({
    method: 'POST',
    path: '/api/spot',
    summary: 'Takes a reading typed in from an infrared thermometer and corrects it for the surface.',
    body: postSpot,
    status: 202,
    answer: spotAnswer,
    act: ({ body }) => conductor.postSpot(body),
  }),
];

const personRoutes = ({ conductor }: RouteParts): Route[] => [
  route({
    method: 'POST',
    path: '/api/events',
    summary: 'Something happened at the grill.',
    body: cookEvent,
    status: 201,
    answer: eventAnswer,
    act: ({ body }) => conductor.event(body),
  }),
  route({
    method: 'DELETE',
    path: '/api/events/:id',
    summary: 'Takes an event back.',
    params: pizzaId,
    status: 200,
    answer: eventAnswer,
    act: ({ params }) => conductor.undo(params.id),
  }),
  route({
    method: 'POST',
    path: '/api/questions/:id',
    summary: 'Answers what the engine asked.',
    params: z.object({ id: z.string().max(80) }),
    body: z.object({ yes: z.boolean() }),
    status: 201,
    answer: eventAnswer,
    act: ({ params, body }) => conductor.answer(params.id, body.yes),
  }),
  route({
    method: 'POST',
    path: '/api/alerts/:alert/acknowledge',
    summary: 'An alert was seen.',
    params: alertName,
    status: 201,
    answer: eventAnswer,
    act: ({ params }) => conductor.event({ event: 'acknowledge', alert: params.alert }),
  }),
  route({
    method: 'POST',
    path: '/api/alerts/:alert/shelve',
    summary: 'Quiet for a while.',
    params: alertName,
    body: shelve,
    status: 201,
    answer: eventAnswer,
    act: ({ params, body }) =>
      conductor.event({ event: 'shelve', alert: params.alert, seconds: body.minutes * 60 }),
  }),
  route({
    method: 'POST',
    path: '/api/alerts/:alert/unshelve',
    summary: 'No longer quiet.',
    params: alertName,
    status: 201,
    answer: eventAnswer,
    act: ({ params }) => conductor.event({ event: 'unshelve', alert: params.alert }),
  }),
  route({
    method: 'POST',
    path: '/api/rehearsal',
    summary: 'Starts, steers or leaves the playing of a recording.',
    body: rehearsalAct,
    status: 200,
    answer: now,
    act: async ({ body }) => {
      if (body.do === 'start') await conductor.rehearse(body.file, body.pace);
      if (body.do === 'pause') conductor.pause(true);
      if (body.do === 'resume') conductor.pause(false);
      if (body.do === 'pace') conductor.setPace(body.pace);
      if (body.do === 'seek') conductor.seek(body.t);
      if (body.do === 'leave') conductor.leaveRehearsal();
      return conductor.now();
    },
  }),
  route({
    method: 'GET',
    path: '/api/settings',
    summary: 'What the person has set.',
    status: 200,
    answer: settings,
    act: () => conductor.settings(),
  }),
  route({
    method: 'PATCH',
    path: '/api/settings',
    summary: 'Sets something; a new band also moves the running cook.',
    body: patchSettings,
    status: 200,
    answer: settings,
    act: ({ body }) => conductor.putSettings(body),
  }),
  route({
    method: 'DELETE',
    path: '/api/grill',
    summary: 'Forgets what earlier cooks taught about this grill.',
    status: 200,
    answer: done,
    act: () => {
      conductor.forgetGrill();
      return DONE;
    },
  }),
];

const pizzaRoutes = ({ conductor }: RouteParts): Route[] => [
  route({
    method: 'POST',
    path: '/api/pizzas',
    summary: 'Adds a pizza to the run.',
    body: pizzaWish,
    status: 201,
    answer: pizza,
    act: ({ body }) => conductor.addPizza(body),
  }),
  route({
    method: 'PATCH',
    path: '/api/pizzas/:id',
    summary: 'Changes a pizza of the running cook.',
    params: pizzaId,
    body: pizzaPatch,
    status: 200,
    answer: pizza,
    act: ({ params, body }) => conductor.patchPizza(params.id, body),
  }),
  route({
    method: 'DELETE',
    path: '/api/pizzas/:id',
    summary: 'Takes a pizza that was not launched out of the run.',
    params: pizzaId,
    status: 200,
    answer: done,
    act: async ({ params }) => {
      await conductor.removePizza(params.id);
      return DONE;
    },
  }),
  ...(['launch', 'turn', 'off'] as const).map((does) =>
    route({
      method: 'POST',
      path: `/api/pizzas/:id/${does}`,
      summary: `This pizza: ${does}.`,
      params: pizzaId,
      status: 201,
      answer: eventAnswer,
      act: ({ params }) => conductor.event({ event: does, pizza: params.id }),
    }),
  ),
];

const readingQuery = z.object({
  channel: z.string().max(64).optional(),
  from: instant.optional(),
  to: instant.optional(),
  points: z.coerce.number().int().min(2).max(100_000).optional(),
});

const cookRoutes = ({ conductor, store }: RouteParts): Route[] => [
  route({
    method: 'POST',
    path: '/api/cooks',
    summary: 'Starts a cook; one that runs is ended, a rehearsal is left.',
    body: startCook,
    status: 201,
    answer: z.object({ id: z.number().int() }),
    act: async ({ body }) => ({ id: await conductor.startCook(body) }),
  }),
  route({
    method: 'GET',
    path: '/api/cooks',
    summary: 'The cooks that are kept, newest first.',
    status: 200,
    answer: cookList,
    act: () => ({ cooks: listCooks(store) }),
  }),
  route({
    method: 'GET',
    path: '/api/cooks/:id',
    summary: 'One cook: what happened and how it went.',
    params: cookId,
    status: 200,
    answer: cookDetail,
    act: ({ params }) => detailOf(store, params.id),
  }),
  route({
    method: 'PATCH',
    path: '/api/cooks/:id',
    summary: 'Names, ends, deletes a cook, or takes its deletion back.',
    params: cookId,
    body: patchCook,
    status: 200,
    answer: done,
    act: async ({ params, body }) => {
      const { name, notes, ended, deleted } = body;
      findCook(store, params.id);
      if ((ended || deleted) && conductor.runningId === params.id) conductor.endCook();
      store.patchCook(params.id, {
        ...(name !== undefined && { name }),
        ...(notes !== undefined && { notes }),
        ...(deleted !== undefined && { deletedAt: deleted ? Date.now() : null }),
      });
      if (name !== undefined) conductor.renamed(params.id, name);
      await store.kept();
      return DONE;
    },
  }),
  route({
    method: 'PATCH',
    path: '/api/cooks/:id/pizzas/:pizza',
    summary: 'Verdict and notes of a pizza of any cook.',
    params: cookId.extend({ pizza: z.string().max(64) }),
    body: pizzaPatch,
    status: 200,
    answer: pizza,
    act: async ({ params, body }) => {
      if (conductor.runningId === params.id) return conductor.patchPizza(params.pizza, body);
      const before = store.pizzas(params.id).find((p) => p.id === params.pizza);
      if (!before) throw new Fault('not-found', `There is no pizza "${params.pizza}" in cook ${params.id}.`);
      store.putPizza(params.id, { ...before, ...body });
      await store.kept();
      return { ...before, ...body };
    },
  }),
  route({
    method: 'GET',
    path: '/api/cooks/:id/readings',
    summary: 'Readings as they came in; `points` thins them, keeping every peak.',
    params: cookId,
    query: readingQuery,
    status: 200,
    answer: readingList,
    act: ({ params, query }) => {
      findCook(store, params.id);
      const { points, ...range } = query;
      const found =
        points === undefined ? store.readings(params.id, range) : store.thinned(params.id, range, points);
      return { readings: found.map(answerOf) };
    },
  }),
  route({
    method: 'GET',
    path: '/api/cooks/:id/export',
    summary: 'The whole cook as a file.',
    params: cookId,
    query: z.object({ format: z.enum(['csv', 'jsonl']).default('jsonl') }),
    status: 200,
    givesFile: 'application/octet-stream',
    act: ({ params, query, reply }) => {
      findCook(store, params.id);
      reply.header('content-disposition', `attachment; filename="cook-${params.id}.${query.format}"`);
      return Readable.from(exportCook(store, params.id, query.format));
    },
  }),
  route({
    method: 'POST',
    path: '/api/import',
    summary: 'Makes a cook of an exported file or a recording; bad lines are skipped and told.',
    takesText: 'application/x-ndjson',
    status: 201,
    answer: z.object({
      id: z.number().int(),
      lines: z.number().int(),
      skipped: z.array(z.object({ number: z.number().int(), why: z.string() })),
    }),
    act: ({ request }) =>
      importCook(store, createInterface({ input: request.body as Readable, crlfDelay: Infinity })), // the parser of this type hands on the stream
  }),
];

const answerOf = ({ channel, at, t, celsius, quality, reason }: StoredReading) => ({
  channel,
  at: new Date(at).toISOString(),
  t,
  celsius,
  quality,
  ...(reason !== undefined && { reason }),
});
