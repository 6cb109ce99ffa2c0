import { z } from 'zod';
import { formula, happening } from '../../../shared/evening.ts';
import {
  formulaList,
  lessonList,
  planDraft,
  planStart,
  stoneAnswer,
  summaryAnswer,
  trendList,
} from '../../../shared/plan.ts';
import { fireLeads, seasons } from '../../cook/after.ts';
import { allFormulas, keepFormula } from '../../cook/formulas.ts';
import { findCook } from '../../cook/history.ts';
import { proposedRun } from '../../cook/run-order.ts';
import { trends } from '../../evening/after/trend.ts';
import { DONE, done, type RouteParts } from './parts.ts';
import { route, type Route } from '../route.ts';

const cookId = z.object({ id: z.coerce.number().int().min(1) });
const tick = happening.omit({ at: true }).extend({ at: happening.shape.at.optional() });
const proposal = z.object({ order: z.array(z.object({ id: z.string(), reason: z.string() })) });
const rehearse = z.object({ pace: z.number().min(1).max(10_000).optional() });

export const eveningRoutes = (parts: RouteParts): Route[] => [
  ...planRoutes(parts),
  ...runRoutes(parts),
  ...afterRoutes(parts),
];

function planRoutes({ stage, store }: RouteParts): Route[] {
  const { evening } = stage;
  const answer = () => ({ plan: evening.answer(stage.instant()), guests: evening.plan.guests() });
  const kept = async () => {
    stage.changed();
    await store.kept();
    return answer();
  };
  return [
    route({
      method: 'GET',
      path: '/api/plan',
      summary: 'The plan of the evening as it stands, and who ate last time.',
      status: 200,
      answer: planStart,
      act: answer,
    }),
    route({
      method: 'PUT',
      path: '/api/plan',
      summary: 'Makes or changes the plan; the fire gets the time that earlier fires took.',
      body: planDraft,
      status: 200,
      answer: planStart,
      act: ({ body }) => {
        const { stone } = stage.settings();
        const input = { ...body.input, stone, fireLeads: fireLeads(store) };
        evening.plan.put({ ...body, input });
        return kept();
      },
    }),
    route({
      method: 'DELETE',
      path: '/api/plan',
      summary: 'Drops the plan.',
      status: 200,
      answer: planStart,
      act: () => {
        evening.plan.clear();
        return kept();
      },
    }),
    route({
      method: 'POST',
      path: '/api/plan/happened',
      summary: 'A step of the plan is done, now or at a time; a time to come is when it is expected.',
      body: tick,
      status: 201,
      answer: planStart,
      act: ({ body }) => {
        const { wall, cook, t } = stage.instant();
        const at = body.at === undefined ? evening.plan.clock(wall, cook, t) : Date.parse(body.at);
        evening.plan.happened(body.step, body.pizza, at);
        return kept();
      },
    }),
    route({
      method: 'DELETE',
      path: '/api/plan/happened',
      summary: 'Takes a step of the plan back.',
      query: z.object({ step: happening.shape.step, pizza: z.coerce.number().int().optional() }),
      status: 200,
      answer: planStart,
      act: ({ query }) => {
        evening.plan.undo(query.step, query.pizza);
        return kept();
      },
    }),
    route({
      method: 'POST',
      path: '/api/plan/rehearsal',
      summary: 'Plays the bundled rehearsal as if it were this plan.',
      body: rehearse,
      status: 200,
      answer: planStart,
      act: async ({ body }) => {
        evening.plan.evening();
        await stage.rehearse(undefined, body.pace, 0, true);
        return answer();
      },
    }),
    route({
      method: 'GET',
      path: '/api/formulas',
      summary: 'Dough and sauce formulas, every version.',
      status: 200,
      answer: formulaList,
      act: () => ({ formulas: allFormulas(store) }),
    }),
    route({
      method: 'POST',
      path: '/api/formulas',
      summary: 'Keeps a formula as the next version of its id.',
      body: formula,
      status: 201,
      answer: formula,
      act: async ({ body }) => {
        const one = keepFormula(store, body);
        await store.kept();
        return one;
      },
    }),
  ];
}

const runRoutes = ({ stage, store, person }: RouteParts): Route[] => [
  route({
    method: 'GET',
    path: '/api/run',
    summary: 'The waiting pizzas in a better order, with the reason for each place.',
    status: 200,
    answer: proposal,
    act: () => ({ order: stage.cook ? proposedRun(stage.cook, stage.t()) : [] }),
  }),
  route({
    method: 'PUT',
    path: '/api/run',
    summary: 'Puts waiting pizzas into this order; the others keep theirs.',
    body: z.object({ order: z.array(z.string().max(64)).max(100) }),
    status: 200,
    answer: done,
    act: async ({ body }) => {
      await person.orderRun(body.order);
      return DONE;
    },
  }),
  route({
    method: 'GET',
    path: '/api/lessons',
    summary: 'What the verdicts taught, eater by eater.',
    status: 200,
    answer: lessonList,
    act: () => stage.evening.lessons.all(stage.cook),
  }),
  route({
    method: 'DELETE',
    path: '/api/lessons',
    summary: 'Forgets what one eater said, or everyone.',
    query: z.object({ eater: z.string().max(80).optional() }),
    status: 200,
    answer: lessonList,
    act: async ({ query }) => {
      const { wall, cook, t } = stage.instant();
      const before = Math.max(wall, cook && t !== null ? cook.startedAt + t * 1000 : wall);
      stage.evening.lessons.forget(query.eater ?? null, before);
      await store.kept();
      return stage.evening.lessons.all(stage.cook);
    },
  }),
];

const afterRoutes = ({ stage, store }: RouteParts): Route[] => [
  route({
    method: 'GET',
    path: '/api/cooks/:id/summary',
    summary: 'How it went in plain words, and up to three things to change.',
    params: cookId,
    status: 200,
    answer: summaryAnswer,
    act: ({ params }) => stage.evening.summary(findCook(store, params.id), stage.settings()),
  }),
  route({
    method: 'GET',
    path: '/api/trends',
    summary: 'How lead, recovery, charcoal, overshoot and verdicts go over the season.',
    status: 200,
    answer: trendList,
    act: () => ({ trends: trends(seasons(store)) }),
  }),
  route({
    method: 'GET',
    path: '/api/stone',
    summary: 'What the stone and its setting mean: contact, band, soak, advice.',
    status: 200,
    answer: stoneAnswer,
    act: () => stage.evening.stone(stage.settings()),
  }),
];
