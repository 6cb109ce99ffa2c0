import { settings as settingsSchema, type Settings } from '../../shared/api.ts';
import type { CookEvent } from '../../shared/event.ts';
import { Fault } from '../../shared/fault.ts';
import type { Pizza, PizzaPatch } from '../../shared/pizza.ts';
import { isOnStone, isWaiting, unannounced } from './pizzas.ts';
import type { RunningCook } from './running.ts';
import type { Stage } from './stage.ts';

/** What a person says and sets: events and their undoing, pizzas, answers, settings. Each is on disk when it resolves. */
export class Person {
  private readonly stage: Stage;

  constructor(stage: Stage) {
    this.stage = stage;
  }

  async event(event: CookEvent): Promise<{ id: string; t: number }> {
    const said = this.stage.say(this.withPizza(event, this.stage.needCook()));
    await this.stage.kept();
    return said;
  }

  /** Gives a launch, turn or off that names no pizza the one it must mean. */
  private withPizza(event: CookEvent, cook: RunningCook): CookEvent {
    if (event.event === 'launch') return this.launchOf(event.pizza, event, cook);
    const noticed = event.event === 'answer' && event.yes ? event.noticed : null;
    if (event.event === 'answer' && noticed === 'launch') return { ...event, pizza: this.nextPizza(cook) };
    if (event.event === 'turn' || event.event === 'off' || (event.event === 'answer' && noticed === 'off'))
      return { ...event, pizza: event.pizza ?? cook.pizzas.find(isOnStone)?.id };
    return event;
  }

  private launchOf(
    wanted: string | undefined,
    event: CookEvent & { event: 'launch' },
    cook: RunningCook,
  ): CookEvent {
    const id = wanted ?? this.nextPizza(cook);
    const pizza = cook.pizzas.find((p) => p.id === id);
    if (pizza && pizza.launchedAt !== null)
      throw new Fault('conflict', `${pizza.name || 'That pizza'} was launched before: undo that first.`);
    const { turnAfter, offAfter } = this.stage.settings();
    return {
      ...event,
      pizza: id,
      turnAfter: event.turnAfter ?? pizza?.turnAfter ?? turnAfter,
      offAfter: event.offAfter ?? pizza?.offAfter ?? offAfter,
    };
  }

  private nextPizza(cook: RunningCook): string {
    return cook.pizzas.find(isWaiting)?.id ?? freeId(cook.pizzas);
  }

  /** Takes an event back; it stays in the record as undone. */
  async undo(id: string): Promise<{ id: string; t: number }> {
    const event = this.stage.needCook().events.find((e) => e.id === id);
    if (!event) throw new Fault('not-found', `There is no event "${id}" in this cook.`);
    if (event.undone) throw new Fault('conflict', 'That was undone already.');
    return this.event({ event: 'undo', of: id });
  }

  async answer(questionId: string, yes: boolean): Promise<{ id: string; t: number }> {
    const question = this.stage.needCook().questions.find((q) => q.id === questionId);
    if (!question) throw new Fault('not-found', 'That question is not open any more.');
    const said = await this.event({ event: 'answer', noticed: question.noticed, at: question.at, yes });
    // Charcoal is kept as if it had been tapped: the engine only supposed it.
    return yes && question.noticed === 'fuel' ? this.event({ event: 'fuel' }) : said;
  }

  async addPizza(
    wish: Pick<Pizza, 'name' | 'eater' | 'likes' | 'turnAfter' | 'offAfter' | 'taste'>,
  ): Promise<Pizza> {
    const cook = this.stage.needCook();
    const place = Math.max(-1, ...cook.pizzas.map((p) => p.place)) + 1;
    const pizza = {
      ...unannounced(freeId(cook.pizzas), place, { turnAfter: 210, offAfter: wish.offAfter }),
      ...wish,
    };
    return this.keepPizza({ ...pizza, name: wish.name || pizza.name });
  }

  async patchPizza(id: string, patch: PizzaPatch): Promise<Pizza> {
    const cook = this.stage.needCook();
    const before = cook.pizzas.find((p) => p.id === id);
    if (!before) throw new Fault('not-found', `There is no pizza "${id}" in this cook.`);
    const staged = patch.stage && { stagedAt: this.stage.t() };
    const pizza = await this.keepPizza({ ...before, ...patch, ...staged });
    const moved = patch.turnAfter !== undefined || patch.offAfter !== undefined;
    if (moved && isOnStone(pizza))
      await this.event({
        event: 'bake-times',
        pizza: id,
        turnAfter: pizza.turnAfter ?? undefined,
        offAfter: pizza.offAfter,
      });
    return pizza;
  }

  /** Gives these waiting pizzas the places that they have among them, in this order. */
  async orderRun(ids: readonly string[]): Promise<void> {
    const cook = this.stage.needCook();
    const waiting = cook.pizzas.filter(isWaiting);
    const order = [...ids.flatMap((id) => waiting.find((p) => p.id === id) ?? []), ...waiting];
    const places = waiting.map((p) => p.place);
    [...new Set(order)].forEach((pizza, i) => cook.putPizza({ ...pizza, place: places[i] ?? pizza.place }));
    this.stage.changed();
    await this.stage.kept();
  }

  private async keepPizza(pizza: Pizza): Promise<Pizza> {
    this.stage.needCook().putPizza(pizza);
    this.stage.changed();
    await this.stage.kept();
    return pizza;
  }

  async removePizza(id: string): Promise<void> {
    const cook = this.stage.needCook();
    const pizza = cook.pizzas.find((p) => p.id === id);
    if (!pizza) throw new Fault('not-found', `There is no pizza "${id}" in this cook.`);
    if (pizza.launchedAt !== null)
      throw new Fault('conflict', 'A pizza that was launched stays in the record: undo its launch first.');
    cook.removePizza(id);
    this.stage.changed();
    await this.stage.kept();
  }

  async putSettings(patch: Partial<Settings>): Promise<Settings> {
    const next = settingsSchema.parse({ ...this.stage.settings(), ...patch });
    this.stage.saveSettings(next);
    if (patch.targets && this.stage.cook) await this.event({ event: 'targets', ...patch.targets });
    this.stage.changed();
    await this.stage.kept();
    return next;
  }
}

function freeId(pizzas: readonly Pizza[]): string {
  let n = pizzas.length + 1;
  while (pizzas.some((p) => p.id === `p${n}`)) n++;
  return `p${n}`;
}
