import { z } from 'zod';
import { happening, planInput } from '../../../shared/evening/evening.ts';
import type { CookEvent } from '../../../shared/event.ts';
import { formula } from '../../../shared/evening/formula.ts';
import {
  formulaList,
  lessonList,
  planDraft,
  planStart,
  stoneAnswer,
  summaryAnswer,
  trendList,
} from '../../../shared/evening/plan.ts';
import { earlierFires, seasons } from '../../cook/history/cook-figures.ts';
import { allFormulas, keepFormula } from '../../cook/evening/formulas.ts';
import { learntFriction } from '../../cook/evening/kneading.ts';
import { findCook } from '../../cook/history/cook-history.ts';
import { proposedRun } from '../../cook/evening/run-order.ts';
import { trends } from '../../evening/after/season-trend.ts';
import type { RouteParts } from './route-parts.ts';
import { done, route, type Route } from '../route.ts';

const cookId = z.object({ id: z.coerce.number().int().min(1) });
const tick = happening.omit({ at: true }).extend({ at: happening.shape.at.optional() });
const proposal = z.object({ order: z.array(z.object({ id: z.string(), reason: z.string() })) });
const rehearse = z.object({
  pace: z.number().min(1).max(10_000).optional(),
  /** Ends a real cook that is running; without it the answer is 409 then. */
  instead: z.boolean().optional(),
});

export const eveningRoutes = (parts: RouteParts): Route[] => [
  ...planRoutes(parts),
  ...runRoutes(parts),
  ...afterRoutes(parts),
];

function planRoutes({ session, store }: RouteParts): Route[] {
  const { evening } = session;
  const answer = () => ({
    plan: evening.answer(session.instant()),
    guests: evening.plan.guests(),
    dropped: evening.plan.hasDropped(),
  });
  const persisted = async () => {
    session.changed();
    await store.persisted();
    return answer();
  };
  return [
    route('GET /api/plan', {
      summary: 'The plan of the evening as it stands, and who ate last time.',
      answer: planStart,
      act: async () => {
        // Cooks may have been imported, or ended, since the plan was made.
        if (evening.plan.stored()) evening.learn(await earlierFires(store));
        return answer();
      },
    }),
    route('PUT /api/plan', {
      summary: 'Makes or changes the plan; the fire gets the time that earlier fires took.',
      body: planDraft,
      answer: planStart,
      act: async ({ body }) => {
        const fires = await earlierFires(store);
        const input = {
          ...body.input,
          learntFriction: undefined,
          ...learntFriction(store, body.input.mixer ?? 'stand'),
          ...fires,
        };
        const record = (event: CookEvent) => void session.record(event);
        evening.put({ ...body, input }, session.cook, session.settings(), record);
        return persisted();
      },
    }),
    route('DELETE /api/plan', {
      summary: 'Drops the plan.',
      answer: planStart,
      act: () => {
        evening.plan.clear();
        return persisted();
      },
    }),
    route('POST /api/plan/restore', {
      summary: 'Takes the plan that was dropped last back.',
      answer: planStart,
      act: () => {
        evening.plan.restore();
        return persisted();
      },
    }),
    route('POST /api/plan/happened', {
      summary: 'A step of the plan is done, now or at a time; a time to come is when it is expected.',
      body: tick,
      status: 201,
      answer: planStart,
      act: ({ body }) => {
        const { wall, cook, t } = session.instant();
        const now = evening.plan.clock(wall, cook, t);
        evening.plan.happened(body.step, body.pizza, body.at === undefined ? now : Date.parse(body.at), now);
        return persisted();
      },
    }),
    route('DELETE /api/plan/happened', {
      summary: 'Takes a step of the plan back.',
      query: z.object({ step: happening.shape.step, pizza: z.coerce.number().int().optional() }),
      answer: planStart,
      act: ({ query }) => {
        evening.plan.undo(query.step, query.pizza);
        return persisted();
      },
    }),
    route('PUT /api/plan/dough', {
      summary: 'The dough as measured after kneading: its times move, and the mixer’s friction is learnt.',
      body: z.object({ celsius: planInput.shape.measuredC.unwrap() }),
      answer: planStart,
      act: ({ body }) => {
        evening.plan.measure(body.celsius);
        return persisted();
      },
    }),
    route('DELETE /api/plan/dough', {
      summary: 'Takes the measured dough back, and what was learnt from it.',
      answer: planStart,
      act: () => {
        evening.plan.measure(null);
        return persisted();
      },
    }),
    route('POST /api/plan/rehearsal', {
      summary: 'Plays the bundled rehearsal as if it were this plan.',
      body: rehearse,
      answer: planStart,
      act: async ({ body }) => {
        evening.plan.evening();
        await session.rehearse(undefined, body.pace, { byPlan: true, instead: body.instead ?? false });
        return answer();
      },
    }),
    route('GET /api/formulas', {
      summary: 'Dough and sauce formulas, every version.',
      answer: formulaList,
      act: () => ({ formulas: allFormulas(store) }),
    }),
    route('POST /api/formulas', {
      summary: 'Keeps a formula as the next version of its id.',
      body: formula,
      status: 201,
      answer: formula,
      act: async ({ body }) => {
        const formula = keepFormula(store, body);
        await store.persisted();
        return formula;
      },
    }),
  ];
}

const runRoutes = ({ session, store, commands }: RouteParts): Route[] => [
  route('GET /api/run', {
    summary: 'The waiting pizzas in a better order, with the reason for each place.',
    answer: proposal,
    act: () => ({
      order: session.cook ? proposedRun(session.cook, session.settings().unit ?? 'C') : [],
    }),
  }),
  route('PUT /api/run', {
    summary: 'Puts waiting pizzas into this order; the others keep theirs.',
    body: z.object({ order: z.array(z.string().max(64)).max(100) }),
    answer: done,
    act: ({ body }) => commands.orderRun(body.order),
  }),
  route('GET /api/lessons', {
    summary: 'What the verdicts taught, eater by eater.',
    answer: lessonList,
    act: () => session.evening.verdicts.all(session.cook),
  }),
  route('DELETE /api/lessons', {
    summary: 'Forgets what one eater said, or everyone.',
    query: z.object({ eater: z.string().max(80).optional() }),
    answer: lessonList,
    act: async ({ query }) => {
      const { wall, cook, t } = session.instant();
      const before = Math.max(wall, cook && t !== null ? cook.startedAt + t * 1000 : wall);
      session.evening.verdicts.forget(query.eater ?? null, before);
      await store.persisted();
      return session.evening.verdicts.all(session.cook);
    },
  }),
];

const afterRoutes = ({ session, store }: RouteParts): Route[] => [
  route('GET /api/cooks/:id/summary', {
    summary: 'How it went in plain words, and up to three things to change.',
    params: cookId,
    answer: summaryAnswer,
    act: ({ params }) => session.evening.summary(findCook(store, params.id), session.settings()),
  }),
  route('GET /api/trends', {
    summary: 'How lead, recovery, charcoal, overshoot and verdicts go over the season.',
    answer: trendList,
    act: async () => ({ trends: trends(await seasons(store), session.settings().unit ?? 'C') }),
  }),
  route('GET /api/stone', {
    summary: 'What the stone and its setting mean: contact, band, soak, advice.',
    answer: stoneAnswer,
    act: () => session.evening.stone(session.settings()),
  }),
];
