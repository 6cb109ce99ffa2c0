import { Readable } from 'node:stream';
import { z } from 'zod';
import {
  cookDetail,
  cookList,
  deletedList,
  patchCook,
  estimateList,
  readingList,
  startCook,
} from '../../../shared/api/api.ts';
import { Fault } from '../../../shared/fault.ts';
import { pizza, pizzaPatch } from '../../../shared/evening/pizza.ts';
import { detailOf, findCook, listCooks } from '../../cook/history/cook-history.ts';
import { estimatesOf } from '../../cook/history/past-estimates.ts';
import { storedPizzas } from '../../cook/history/stored-pizzas.ts';
import { listDeleted } from '../../cook/history/deleted-cooks.ts';
import { addExamples, areExamplesDue, removeExamples } from '../../cook/portable/examples.ts';
import { exportCook } from '../../cook/portable/cook-export.ts';
import { importCook } from '../../cook/portable/cook-import.ts';
import { withBreaths } from '../../store/breath.ts';
import type { StoredReading } from '../../store/store.ts';
import { mayAct } from '../authorisation.ts';
import type { RouteParts } from './route-parts.ts';
import { longAnswer } from '../long-answer.ts';
import { done, route, type Route } from '../route.ts';

const cookId = z.object({ id: z.coerce.number().int().min(1) });
/** An instant as ISO 8601. */
const instant = z.iso.datetime({ offset: true }).transform((text) => Date.parse(text));

const readingQuery = z.object({
  channel: z.string().max(64).optional(),
  from: instant.optional(),
  to: instant.optional(),
  points: z.coerce.number().int().min(2).max(100_000).optional(),
});

export const cookRoutes = ({ session, commands, store }: RouteParts): Route[] => [
  route('POST /api/cooks', {
    summary: 'Starts a cook; one that runs is ended, a rehearsal is left.',
    body: startCook,
    status: 201,
    answer: z.object({ id: z.number().int() }),
    act: async ({ body }) => ({ id: await session.startCook(body) }),
  }),
  route('GET /api/cooks', {
    summary: 'The cooks that are kept, newest first.',
    answer: cookList,
    act: async () => ({ cooks: await listCooks(store), examplesDue: areExamplesDue(store) }),
  }),
  route('GET /api/cooks/deleted', {
    summary: 'Deleted cooks that can still be brought back, the latest first.',
    answer: deletedList,
    act: async () => ({ cooks: await listDeleted(store) }),
  }),
  route('POST /api/examples', {
    summary: 'Makes the synthetic example cooks, where there is no real one and nobody removed them.',
    status: 201,
    answer: done,
    act: () => addExamples(store, (name) => session.parts.recording(name)),
  }),
  route('DELETE /api/examples', {
    summary: 'Removes the example cooks for good.',
    answer: done,
    act: () => removeExamples(store),
  }),
  route('GET /api/cooks/:id', {
    summary: 'One cook: what happened and how it went.',
    params: cookId,
    answer: cookDetail,
    act: ({ params }) => detailOf(store, params.id),
  }),
  route('PATCH /api/cooks/:id', {
    summary: 'Names, ends, deletes a cook, or takes its deletion back.',
    params: cookId,
    body: patchCook,
    answer: done,
    act: async ({ params, body }) => {
      const { name, notes, ended, deleted } = body;
      findCook(store, params.id);
      if ((ended || deleted) && session.cook?.id === params.id) session.endCook();
      store.patchCook(params.id, {
        ...(name !== undefined && { name }),
        ...(notes !== undefined && { notes }),
        ...(deleted !== undefined && { deletedAt: deleted ? session.wall() : null }),
      });
      if (name !== undefined) session.renamed(params.id, name);
      await store.persisted();
    },
  }),
  route('PATCH /api/cooks/:id/pizzas/:pizza', {
    summary: 'Verdict and notes of a pizza of any cook.',
    params: cookId.extend({ pizza: z.string().max(64) }),
    body: pizzaPatch,
    answer: pizza,
    act: async ({ params, body }) => {
      if (session.cook?.id === params.id) return commands.patchPizza(params.pizza, body);
      const before = storedPizzas(store, findCook(store, params.id)).find((p) => p.id === params.pizza);
      if (!before) throw new Fault('not-found', `There is no pizza "${params.pizza}" in cook ${params.id}.`);
      store.putPizza(params.id, { ...before, ...body });
      await store.persisted();
      return { ...before, ...body };
    },
  }),
  route('GET /api/cooks/:id/readings', {
    summary: 'Readings as they came in; `points` thins them, keeping every peak.',
    params: cookId,
    query: readingQuery,
    answer: readingList,
    act: async ({ params, query, request, reply }) => {
      findCook(store, params.id);
      const { points, ...range } = query;
      if (points !== undefined)
        return { readings: (await withBreaths(store.downsampled(params.id, range, points))).map(answerOf) };
      reply.type('application/json; charset=utf-8');
      return longAnswer(readingsText(store.eachReading(params.id, range)), request.raw, reply.raw);
    },
  }),
  route('GET /api/cooks/:id/estimates', {
    summary:
      'The stone as it was estimated from the dome and the looks at it; empty where a probe measured it.',
    params: cookId,
    answer: estimateList,
    act: async ({ params }) => ({
      estimates:
        session.cook?.id === params.id ? [...session.cook.estimates] : await estimatesOf(store, params.id),
    }),
  }),
  route('GET /api/cooks/:id/export', {
    summary: 'The whole cook as a file.',
    params: cookId,
    query: z.object({
      format: z.enum(['csv', 'jsonl']).default('jsonl'),
      /** With the keys of encrypting thermometers, for who may act: for one's own backup, not for sharing. */
      keys: z.enum(['yes', 'no']).default('no'),
      /** Of a table: with the recording in its last column, without which it can't be brought in again. */
      recording: z.enum(['yes', 'no']).default('yes'),
    }),
    givesFile: 'application/octet-stream',
    act: ({ params, query, request, reply }) => {
      findCook(store, params.id);
      const withKeys = query.keys === 'yes' && mayAct(request.raw);
      reply.header('content-disposition', `attachment; filename="cook-${params.id}.${query.format}"`);
      const withRecording = query.recording === 'yes';
      const pieces = exportCook(store, params.id, query.format, { withKeys, withRecording });
      return longAnswer(pieces, request.raw, reply.raw);
    },
  }),
  route('POST /api/import', {
    summary: 'Makes a cook of an exported file or a recording; bad lines are skipped and told.',
    takesText: 'application/x-ndjson',
    status: 201,
    answer: z.object({
      id: z.number().int(),
      lines: z.number().int(),
      /** How many could not be read; the first hundred are listed. */
      bad: z.number().int(),
      skipped: z.array(z.object({ number: z.number().int(), why: z.string() })),
    }),
    act: ({ request }) =>
      // The parser of this type hands on the stream.
      importCook(store, request.body as Readable, { grills: session.grills }).then(
        ({ id, lines, bad, skipped }) => ({ id, lines, bad, skipped }),
        (error: unknown) => {
          // Who still sends would see a broken connection and not the reason.
          request.raw.unpipe();
          request.raw.resume();
          throw error;
        },
      ),
  }),
];

/** The answer as JSON, piece by piece. */
function* readingsText(readings: Iterable<StoredReading>): Generator<string> {
  yield '{"readings":[';
  let between = '';
  for (const reading of readings) {
    yield between + JSON.stringify(answerOf(reading));
    between = ',';
  }
  yield ']}';
}

const answerOf = ({ channel, at, t, celsius, quality, reason }: StoredReading) => ({
  channel,
  at: new Date(at).toISOString(),
  t,
  celsius,
  quality,
  ...(reason !== undefined && { reason }),
});
