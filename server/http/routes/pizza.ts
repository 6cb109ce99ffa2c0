import { z } from 'zod';
import { eventAnswer } from '../../../shared/api.ts';
import { pizza, pizzaPatch, pizzaWish } from '../../../shared/pizza.ts';
import { DONE, done, type RouteParts } from './parts.ts';
import { route, type Route } from '../route.ts';

const pizzaId = z.object({ id: z.string().min(1).max(64) });

export const pizzaRoutes = ({ person }: RouteParts): Route[] => [
  route({
    method: 'POST',
    path: '/api/pizzas',
    summary: 'Adds a pizza to the run.',
    body: pizzaWish,
    status: 201,
    answer: pizza,
    act: ({ body }) => person.addPizza(body),
  }),
  route({
    method: 'PATCH',
    path: '/api/pizzas/:id',
    summary: 'Changes a pizza of the running cook.',
    params: pizzaId,
    body: pizzaPatch,
    status: 200,
    answer: pizza,
    act: ({ params, body }) => person.patchPizza(params.id, body),
  }),
  route({
    method: 'DELETE',
    path: '/api/pizzas/:id',
    summary: 'Takes a pizza that was not launched out of the run.',
    params: pizzaId,
    status: 200,
    answer: done,
    act: async ({ params }) => {
      await person.removePizza(params.id);
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
      act: ({ params }) => person.event({ event: does, pizza: params.id }),
    }),
  ),
];
