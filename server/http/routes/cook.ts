import { createInterface } from 'node:readline';
import { Readable } from 'node:stream';
import { z } from 'zod';
import { cookDetail, cookList, patchCook, readingList, startCook } from '../../../shared/api.ts';
import { Fault } from '../../../shared/fault.ts';
import { pizza, pizzaPatch } from '../../../shared/pizza.ts';
import { detailOf, findCook, listCooks } from '../../cook/history.ts';
import { exportCook, importCook } from '../../cook/portable.ts';
import type { StoredReading } from '../../store/store.ts';
import { DONE, done, type RouteParts } from './parts.ts';
import { route, type Route } from '../route.ts';

const cookId = z.object({ id: z.coerce.number().int().min(1) });
/** An instant as ISO 8601. */
const instant = z.iso.datetime({ offset: true }).transform((text) => Date.parse(text));

const readingQuery = z.object({
  channel: z.string().max(64).optional(),
  from: instant.optional(),
  to: instant.optional(),
  points: z.coerce.number().int().min(2).max(100_000).optional(),
});

export const cookRoutes = ({ stage, person, store }: RouteParts): Route[] => [
  route({
    method: 'POST',
    path: '/api/cooks',
    summary: 'Starts a cook; one that runs is ended, a rehearsal is left.',
    body: startCook,
    status: 201,
    answer: z.object({ id: z.number().int() }),
    act: async ({ body }) => ({ id: await stage.startCook(body) }),
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
      if ((ended || deleted) && stage.runningId === params.id) stage.endCook();
      store.patchCook(params.id, {
        ...(name !== undefined && { name }),
        ...(notes !== undefined && { notes }),
        ...(deleted !== undefined && { deletedAt: deleted ? Date.now() : null }),
      });
      if (name !== undefined) stage.renamed(params.id, name);
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
      if (stage.runningId === params.id) return person.patchPizza(params.pizza, body);
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
