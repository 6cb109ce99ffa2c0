import { ALERT_KINDS } from '../../../shared/alert/kinds.ts';
import { MAX_PIZZAS } from '../../../shared/cook/bakes.ts';
import { settings as settingsSchema, type Settings, type SettingsPatch } from '../../../shared/api/api.ts';
import { isCautionId } from '../../evening/caution-list.ts';
import { isTap, type CookEvent } from '../../../shared/event.ts';
import { Fault } from '../../../shared/fault.ts';
import type { Pizza, PizzaExpects, PizzaPatch } from '../../../shared/evening/pizza.ts';
import { ownTimes } from '../bake/own-times.ts';
import { boundTimes, isOnStone, isWaiting, unannounced } from '../../../shared/cook/run.ts';
import { launchNoticed, openQuestions } from '../evening/noticed-launch.ts';
import { inOrder } from '../evening/run-order.ts';
import { needRoom } from '../live/cook-limits.ts';
import { withBreaths } from '../../store/breath.ts';
import type { RunningCook } from '../live/running.ts';
import {
  checkAfterLaunch,
  checkKnown,
  checkOnStone,
  checkStone,
  checkUndo,
  earlierTap,
  nameOf,
  nextTurn,
  notThere,
} from './pizza-checks.ts';
import type { CookSession } from '../live/cook-session.ts';

/** A pizza that bakes longer is looked at again after so long, s. */
const LONGER_SECONDS = 60;

/** What a person says and sets: events and their undoing, pizzas, answers, settings. Each is on disk when it resolves. */
export class Commands {
  private readonly session: CookSession;

  constructor(session: CookSession) {
    this.session = session;
  }

  async event(event: CookEvent): Promise<{ id: string; t: number }> {
    if (event.event !== 'undo') needRoom(this.session.cook);
    const cook = this.session.needCook();
    if ((event.event === 'turn' || event.event === 'off') && event.pizza === undefined) {
      const launch = launchNoticed(cook, this.nextPizza(cook));
      if (launch) this.session.record(launch);
    }
    const recorded = this.session.record(this.withPizza(event, cook));
    await this.session.persisted();
    return recorded;
  }

  /** Gives a launch, turn or off that names no pizza the one it must mean. */
  private withPizza(event: CookEvent, cook: RunningCook): CookEvent {
    if (event.event === 'launch') return this.launchOf(event.pizza, event, cook);
    const noticed = event.event === 'answer' && event.yes ? event.noticed : null;
    if (event.event === 'answer' && noticed === 'launch') return { ...event, pizza: this.nextPizza(cook) };
    if (event.event === 'turn') return { ...event, pizza: event.pizza ?? nextTurn(cook)?.id };
    if (event.event === 'off' || (event.event === 'answer' && noticed === 'off'))
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
    if (!pizza && cook.pizzas.length >= MAX_PIZZAS)
      throw new Fault('conflict', `A cook has at most ${MAX_PIZZAS} pizzas: start another.`);
    if (pizza && pizza.launchedAt !== null)
      throw new Fault('conflict', `${pizza.name || 'That pizza'} was launched before: undo that first.`);
    const own = pizza ? ownTimes(cook, pizza) : this.session.settings();
    return {
      ...event,
      pizza: id,
      turnAfter: event.turnAfter === undefined ? own.turnAfter : event.turnAfter,
      offAfter: event.offAfter ?? own.offAfter,
    };
  }

  private nextPizza(cook: RunningCook): string {
    return cook.pizzas.find(isWaiting)?.id ?? cook.freePizzaId();
  }

  /** An event that somebody posted: what has a path of its own passes that path's checks. */
  async posted(event: CookEvent): Promise<{ id: string; t: number }> {
    const before = isTap(event.id) && this.session.needCook().events.find(({ id }) => id === event.id);
    if (before) return { id: before.id, t: before.t };
    if (event.event === 'undo') return this.undo(event.of);
    if (event.event === 'remove-pizza') return this.removePizza(event.pizza);
    if (event.event === 'answer') return this.answer(this.questionOf(event), event.yes);
    if (event.event === 'probes')
      throw new Fault('invalid', 'Probes are set on their own path, not by an event.');
    if (event.event === 'caution-seen' && !isCautionId(event.caution))
      throw new Fault('not-found', `There is no caution "${event.caution}".`);
    if (event.event === 'shelve' && ALERT_KINDS[event.alert].isNeverSilenced)
      throw new Fault(
        'conflict',
        'An off that is due can’t be muted: put it off by a minute, or take it off.',
      );
    if (event.event === 'launch') checkKnown(this.session.needCook(), event.pizza);
    if (event.event === 'bake-times' || event.event === 'turn' || event.event === 'off')
      checkOnStone(this.session.needCook(), event.pizza, event.event);
    checkAfterLaunch(this.session.needCook(), event, this.session.t());
    return this.event(event);
  }

  private questionOf({ noticed, at }: CookEvent & { event: 'answer' }): string {
    return this.questions().find((q) => q.noticed === noticed && q.at === at)?.id ?? '';
  }

  private questions(): ReturnType<typeof openQuestions> {
    return openQuestions(this.session.needCook(), this.session.t());
  }

  /**
   * What was tapped last of a pizza truly happened `seconds` before the time that it has.
   * @throws Fault `conflict` where nothing was tapped, or not so long ago
   */
  async earlier(id: string, seconds: number): Promise<{ id: string; t: number }> {
    const cook = this.session.needCook();
    const { entry, at } = earlierTap(cook, id, seconds);
    checkUndo(cook, entry.id, this.session.t());
    this.session.record({ event: 'undo', of: entry.id });
    const { id: _, ...event } = entry.event;
    return this.event({ ...event, ago: this.session.t() - at });
  }

  /**
   * Launches, turns or takes off a pizza, `next` being the next that waits.
   * @throws Fault `conflict` where the pizza is not as it must be, or not as `expects` says that it was seen
   */
  async act(
    does: 'launch' | 'turn' | 'off',
    id: string,
    expects: PizzaExpects,
  ): Promise<{ id: string; t: number }> {
    const cook = this.session.needCook();
    if (does === 'launch') {
      checkKnown(cook, id === 'next' ? undefined : id);
      checkStone(cook, expects.onStone);
      return this.event({ event: 'launch', ...(id !== 'next' && { pizza: id }) });
    }
    const pizza = cook.pizzas.find((p) => p.id === id);
    if (!pizza) throw notThere(id);
    checkOnStone(cook, id, does);
    if (expects.turned !== undefined && expects.turned !== (pizza.turnedAt !== null))
      throw new Fault(
        'conflict',
        `${nameOf(pizza)} was ${pizza.turnedAt === null ? 'not turned yet' : 'turned'}.`,
      );
    return this.event({ event: does, pizza: id });
  }

  /** Puts the time at which a pizza is off a minute later: from now where it is due. */
  async bakeLonger(id: string): Promise<{ id: string; t: number }> {
    const cook = this.session.needCook();
    const pizza = cook.pizzas.find((p) => p.id === id);
    if (!pizza) throw notThere(id);
    checkOnStone(cook, id, 'off');
    const since = Math.round(this.session.t() - (pizza.launchedAt ?? 0));
    const offAfter = Math.max(pizza.offAfter, since) + LONGER_SECONDS;
    return this.event({ event: 'bake-times', pizza: id, ...boundTimes({ offAfter }) });
  }

  /** Takes an event back; it stays in the record as undone. */
  async undo(id: string): Promise<{ id: string; t: number }> {
    const cook = this.session.needCook();
    checkUndo(cook, id, this.session.t());
    await withBreaths(cook.prepareUndo(id));
    // Others went on meanwhile.
    checkUndo(this.session.needCook(), id, this.session.t());
    return this.event({ event: 'undo', of: id });
  }

  async answer(questionId: string, yes: boolean): Promise<{ id: string; t: number }> {
    const question = this.questions().find((q) => q.id === questionId);
    if (!question) throw new Fault('not-found', 'That question is not open any more.');
    const answer = await this.event({ event: 'answer', noticed: question.noticed, at: question.at, yes });
    // Charcoal is kept as if it had been tapped: the engine only supposed it.
    return yes && question.noticed === 'fuel' ? this.event({ event: 'fuel' }) : answer;
  }

  /** Not shown again in this cook; with none running, until the next one begins. */
  async acknowledgeCaution(id: string): Promise<void> {
    if (!isCautionId(id)) throw new Fault('not-found', `There is no caution "${id}".`);
    needRoom(this.session.cook);
    if (this.session.cook) this.session.record({ event: 'caution-seen', caution: id });
    else this.session.evening.cautions.acknowledge(id);
    this.session.changed();
    await this.session.persisted();
  }

  async restoreCautions(): Promise<void> {
    const seen = (this.session.cook?.events ?? []).filter(
      ({ event, undone }) => event.event === 'caution-seen' && !undone,
    );
    for (const { id } of seen) this.session.record({ event: 'undo', of: id });
    this.session.evening.cautions.restore();
    this.session.changed();
    await this.session.persisted();
  }

  async addPizza(
    wish: Pick<Pizza, 'name' | 'eater' | 'likes' | 'turnAfter' | 'offAfter' | 'taste'>,
  ): Promise<Pizza> {
    const cook = this.session.needCook();
    if (cook.pizzas.length >= MAX_PIZZAS)
      throw new Fault('conflict', `A cook has at most ${MAX_PIZZAS} pizzas: start another.`);
    const place = Math.max(-1, ...cook.pizzas.map((p) => p.place)) + 1;
    const pizza = {
      ...unannounced(cook.freePizzaId(), place, { turnAfter: 210, offAfter: wish.offAfter }),
      ...wish,
    };
    return this.keepPizza({ ...pizza, name: wish.name || pizza.name });
  }

  async patchPizza(id: string, patch: PizzaPatch): Promise<Pizza> {
    const cook = this.session.needCook();
    const before = cook.pizzas.find((p) => p.id === id);
    if (!before) throw notThere(id);
    const staged = patch.stage && { stagedAt: this.session.t() };
    const { turnAfter = before.turnAfter, offAfter = before.offAfter } = patch;
    const isMoved = turnAfter !== before.turnAfter || offAfter !== before.offAfter;
    if (isMoved && before.offAt !== null)
      throw new Fault(
        'conflict',
        `${nameOf(before)} is off: its times were measured. Undo the off to change them.`,
      );
    if (!isMoved || !isOnStone(before)) return this.keepPizza({ ...before, ...patch, ...staged });
    // Of a pizza on the stone the times are an event, so that they can be taken back.
    const times = { turnAfter: before.turnAfter, offAfter: before.offAfter };
    await this.keepPizza({ ...before, ...patch, ...staged, ...times });
    await this.event({ event: 'bake-times', pizza: id, turnAfter, offAfter });
    return cook.pizzas.find((p) => p.id === id) ?? before;
  }

  /** Gives these waiting pizzas the places that they have among them, in this order. */
  async orderRun(ids: readonly string[]): Promise<void> {
    inOrder(this.session.needCook(), ids);
    this.session.changed();
    await this.session.persisted();
  }

  private async keepPizza(pizza: Pizza): Promise<Pizza> {
    this.session.needCook().putPizza(pizza);
    this.session.changed();
    await this.session.persisted();
    return pizza;
  }

  async removePizza(id: string): Promise<{ id: string; t: number }> {
    const cook = this.session.needCook();
    const pizza = cook.pizzas.find((p) => p.id === id);
    if (!pizza) throw notThere(id);
    if (pizza.launchedAt !== null)
      throw new Fault('conflict', 'A pizza that was launched stays in the record: undo its launch first.');
    return this.event({ event: 'remove-pizza', pizza: id });
  }

  /** Brings a pizza that was taken out of the run back, as it was and to its place. */
  async restorePizza(id: string): Promise<Pizza> {
    const cook = this.session.needCook();
    if (cook.pizzas.some((p) => p.id === id)) throw new Fault('conflict', 'That pizza is in the run.');
    const removal = cook.events.findLast(
      ({ event, undone }) => !undone && event.event === 'remove-pizza' && event.pizza === id,
    );
    if (removal) await this.undo(removal.id);
    const pizza = cook.pizzas.find((p) => p.id === id);
    if (!pizza) throw new Fault('not-found', `No pizza "${id}" was taken out of this cook.`);
    return pizza;
  }

  /** Waiting pizzas that nobody gave times of their own bake as is usual now. */
  private bakeTimes(before: Settings, { turnAfter, offAfter }: Settings): void {
    const { cook } = this.session;
    if (!cook || (turnAfter === before.turnAfter && offAfter === before.offAfter)) return;
    const isUsual = (p: Pizza): boolean => p.turnAfter === before.turnAfter && p.offAfter === before.offAfter;
    for (const pizza of cook.pizzas)
      if (isWaiting(pizza) && isUsual(pizza)) cook.putPizza({ ...pizza, turnAfter, offAfter });
  }

  async putSettings({ unitOfLocale, ...patch }: SettingsPatch): Promise<Settings> {
    const before = this.session.settings();
    const unit = patch.unit ?? before.unit ?? unitOfLocale ?? null;
    const next = settingsSchema.parse({ ...before, ...patch, unit });
    this.session.saveSettings(next);
    this.bakeTimes(before, next);
    if (patch.targets && this.session.cook) await this.event({ event: 'targets', ...patch.targets });
    this.session.changed();
    await this.session.persisted();
    return next;
  }
}
