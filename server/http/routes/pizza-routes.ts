import { z } from 'zod';
import { eventAnswer } from '../../../shared/api/api.ts';
import { pizza, pizzaEarlier, pizzaExpects, pizzaPatch, pizzaWish } from '../../../shared/evening/pizza.ts';
import type { RouteParts } from './route-parts.ts';
import { done, route, type Route } from '../route.ts';

const pizzaId = z.object({ id: z.string().min(1).max(64) });

export const pizzaRoutes = ({ commands }: RouteParts): Route[] => [
  route('POST /api/pizzas', {
    summary: 'Adds a pizza to the run.',
    body: pizzaWish,
    status: 201,
    answer: pizza,
    act: ({ body }) => commands.addPizza(body),
  }),
  route('PATCH /api/pizzas/:id', {
    summary: 'Changes a pizza of the running cook.',
    params: pizzaId,
    body: pizzaPatch,
    answer: pizza,
    act: ({ params, body }) => commands.patchPizza(params.id, body),
  }),
  route('DELETE /api/pizzas/:id', {
    summary: 'Takes a pizza that was not launched out of the run.',
    params: pizzaId,
    answer: done,
    act: ({ params }) => commands.removePizza(params.id),
  }),
  ...(['launch', 'turn', 'off'] as const).map((does) =>
    route(`POST /api/pizzas/:id/${does}`, {
      summary: `This pizza: ${does}. “next” launches the next that waits; the body says what was seen, and what no longer holds is refused.`,
      params: pizzaId,
      body: pizzaExpects.nullish(),
      status: 201,
      answer: eventAnswer,
      act: ({ params, body }) => commands.act(does, params.id, body ?? {}),
    }),
  ),
  route('POST /api/pizzas/:id/longer', {
    summary: 'This pizza bakes a minute more from now, or from when it was due.',
    params: pizzaId,
    status: 201,
    answer: eventAnswer,
    act: ({ params }) => commands.bakeLonger(params.id),
  }),
  route('POST /api/pizzas/:id/earlier', {
    summary:
      'What was tapped last of this pizza, its launch, turn or off, truly happened so many seconds earlier.',
    params: pizzaId,
    body: pizzaEarlier,
    status: 201,
    answer: eventAnswer,
    act: ({ params, body }) => commands.earlier(params.id, body.seconds),
  }),
  route('POST /api/pizzas/:id/restore', {
    summary: 'Brings a pizza that was taken out of the run back to its place.',
    params: pizzaId,
    answer: pizza,
    act: ({ params }) => commands.restorePizza(params.id),
  }),
];
