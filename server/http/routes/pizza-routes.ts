import { z } from 'zod';
import { eventAnswer } from '../../../shared/api/api.ts';
import { pizza, pizzaExpects, pizzaPatch, pizzaWish } from '../../../shared/evening/pizza.ts';
import { DONE, done, type RouteParts } from './route-parts.ts';
import { route, type Route } from '../route.ts';

const pizzaId = z.object({ id: z.string().min(1).max(64) });

export const pizzaRoutes = ({ commands }: RouteParts): Route[] => [
  route({
    method: 'POST',
    path: '/api/pizzas',
    summary: 'Adds a pizza to the run.',
    body: pizzaWish,
    status: 201,
    answer: pizza,
    act: ({ body }) => commands.addPizza(body),
  }),
  route({
    method: 'PATCH',
    path: '/api/pizzas/:id',
    summary: 'Changes a pizza of the running cook.',
    params: pizzaId,
    body: pizzaPatch,
    status: 200,
    answer: pizza,
    act: ({ params, body }) => commands.patchPizza(params.id, body),
  }),
  route({
    method: 'DELETE',
    path: '/api/pizzas/:id',
    summary: 'Takes a pizza that was not launched out of the run.',
    params: pizzaId,
    status: 200,
    answer: done,
    act: async ({ params }) => {
      await commands.removePizza(params.id);
      return DONE;
    },
  }),
  ...(['launch', 'turn', 'off'] as const).map((does) =>
    route({
      method: 'POST',
      path: `/api/pizzas/:id/${does}`,
      summary: `This pizza: ${does}. “next” launches the next that waits; the body says what was seen, and what no longer holds is refused.`,
      params: pizzaId,
      body: pizzaExpects.nullish(),
      status: 201,
      answer: eventAnswer,
      act: ({ params, body }) => commands.act(does, params.id, body ?? {}),
    }),
  ),
  route({
    method: 'POST',
    path: '/api/pizzas/:id/longer',
    summary: 'This pizza bakes a minute more from now, or from when it was due.',
    params: pizzaId,
    status: 201,
    answer: eventAnswer,
    act: ({ params }) => commands.bakeLonger(params.id),
  }),
  route({
    method: 'POST',
    path: '/api/pizzas/:id/restore',
    summary: 'Brings a pizza that was taken out of the run back to its place.',
    params: pizzaId,
    status: 200,
    answer: pizza,
    act: ({ params }) => commands.restorePizza(params.id),
  }),
];
