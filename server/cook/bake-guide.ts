import type { EngineView } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import type { Pizza } from '../../shared/pizza.ts';
import type { LiveGuide } from '../../shared/plan.ts';
import { bakeAt, startBake, stepBake, type Bake } from '../evening/bake/bake.ts';
import { guide, wantedFor, type Guide, type Wanted } from '../evening/bake/guide.ts';
import { touchOf, type Touch } from '../evening/stone/contact.ts';
import type { Material } from '../../shared/evening.ts';
import type { Store } from '../store/store.ts';
import type { Lessons } from './lessons.ts';
import { isOnStone } from './pizzas.ts';
import { curveOf } from './review.ts';
import type { RunningCook } from './running.ts';

/** The times are moved only when they differ by this much, and not more often than this, s. */
const WORTH = 5;
const EVERY = 10;
/** Marks the moves that come from here, so that a person's own word is known from them. */
const BY_GUIDE = 'guidance';
const MIDDLING = { base: 0, crust: 0, wetness: 0 };

type Followed = {
  bake: Bake;
  wanted: Wanted;
  /** What the taste wants before any learning. */
  plain: Wanted;
  lesson: string;
  movedAt: number;
  guide: Guide | null;
};
type Say = (event: CookEvent) => void;

/** Follows each pizza on the stone, moves its times, and keeps what it had when it comes off. */
export class BakeGuide {
  private readonly store: Store;
  private readonly lessons: Lessons;
  private readonly followed = new Map<string, Followed>();
  private cook: RunningCook | null = null;

  constructor(store: Store, lessons: Lessons) {
    this.store = store;
    this.lessons = lessons;
  }

  /** To be called with each beat of the cook. @param say puts an event of now into it */
  beat(cook: RunningCook, t: number, view: EngineView, material: Material, say: Say): void {
    if (cook !== this.cook) this.followed.clear();
    this.cook = cook;
    const touch = touchOf(material);
    for (const pizza of cook.pizzas) {
      if (isOnStone(pizza)) this.follow(cook, pizza, t, view, touch, say);
      else this.ended(cook, pizza, touch);
    }
  }

  private follow(cook: RunningCook, pizza: Pizza, t: number, view: EngineView, touch: Touch, say: Say): void {
    let one = this.followed.get(pizza.id);
    if (one?.bake.launchedAt !== pizza.launchedAt) one = this.start(cook, pizza, touch);
    if (!one) return;
    one.bake = stepped(one.bake, cook, t, view, touch);
    const turned = pizza.turnedAt !== null || pizza.turnAfter === null;
    one.guide = guide(one.bake, one.wanted, curvesOf(view), t, turned, touch);
    if (t - one.movedAt < EVERY || byHand(cook, pizza.id)) return;
    const move = moveOf(pizza, one.guide, turned);
    if (!move) return;
    one.movedAt = t;
    say({ event: 'bake-times', pizza: pizza.id, ...move, note: BY_GUIDE });
  }

  /** From the launch on, by what is kept of it: after a restart or a late tap nothing is lost. */
  private start(cook: RunningCook, pizza: Pizza, touch: Touch): Followed {
    const launchedAt = pizza.launchedAt ?? 0;
    const from = Math.round(cook.startedAt + (launchedAt - 60) * 1000);
    const readings = this.store.readings(cook.id, { from });
    const points = (['stone', 'dome'] as const).flatMap((role) =>
      curveOf(readings, cook.header, role).map((p) => ({ kind: role, ...p })),
    );
    const before = (role: 'stone' | 'dome') =>
      points.filter((p) => p.kind === role && p.t <= launchedAt).at(-1)?.celsius ?? null;
    let bake = startBake(launchedAt, before('stone'), before('dome'));
    for (const point of points.filter((p) => p.t > launchedAt).sort((a, b) => a.t - b.t))
      bake = stepBake(bake, point, touch);
    const { base, top, words } = this.lessons.of(pizza.eater, cook);
    const usual = launchTimes(cook, pizza);
    const taste = pizza.taste ?? MIDDLING;
    const one: Followed = {
      bake,
      wanted: wantedFor(taste, { base, top }, usual),
      plain: wantedFor(taste, undefined, usual),
      lesson: words,
      movedAt: launchedAt,
      guide: null,
    };
    this.followed.set(pizza.id, one);
    return one;
  }

  private ended(cook: RunningCook, pizza: Pizza, touch: Touch): void {
    const one = this.followed.get(pizza.id);
    if (!one) return;
    this.followed.delete(pizza.id);
    if (pizza.offAt === null) return;
    const { base, top } = bakeAt(one.bake, pizza.offAt, touch);
    const baked = {
      base: base.dose,
      top: top.dose,
      wantedBase: one.plain.base,
      wantedTop: one.plain.top,
    };
    cook.putPizza({ ...pizza, baked });
  }

  live(cook: RunningCook | null): LiveGuide[] {
    if (!cook || cook !== this.cook) return [];
    return [...this.followed].flatMap(([pizza, { guide, lesson }]) => {
      if (!guide) return [];
      const { say, turnAt, lookAt, offAt, warning } = guide;
      return [{ pizza, say, turnAt, lookAt, offAt, warning, lesson, byHand: byHand(cook, pizza) }];
    });
  }
}

/** Brought on by the engine's estimates of now; a lid that moved counts from now. */
function stepped(bake: Bake, cook: RunningCook, t: number, view: EngineView, touch: Touch): Bake {
  let next = bake;
  if (view.lidOpen !== bake.lidOpen) next = stepBake(next, { kind: 'lid', t, open: view.lidOpen }, touch);
  for (const { id, role } of cook.header.channels)
    if (role === 'stone' || role === 'dome')
      next = stepBake(next, { kind: role, t, celsius: view.channels[id]?.celsius ?? null }, touch);
  return next;
}

const curvesOf = ({ forecast }: EngineView) => forecast?.curves ?? { stone: [], dome: [] };

const timesOf = (cook: RunningCook, pizza: string) =>
  cook.events.filter(({ event, undone }) => !undone && event.event === 'bake-times' && event.pizza === pizza);

const byHand = (cook: RunningCook, pizza: string): boolean =>
  timesOf(cook, pizza).some(({ event }) => event.note !== BY_GUIDE);

/** Turn and off as they were when it was launched: guidance moves the pizza's own. */
function launchTimes(cook: RunningCook, pizza: Pizza): { turnAfter: number; offAfter: number } {
  const launch = cook.events.find(
    ({ event, undone }) => !undone && event.event === 'launch' && event.pizza === pizza.id,
  )?.event;
  const { turnAfter = pizza.turnAfter ?? 210, offAfter = pizza.offAfter } =
    launch?.event === 'launch' ? launch : {};
  return { turnAfter, offAfter };
}

/** New times after the launch where they are worth a move; null where the old ones will do. */
function moveOf(
  { launchedAt, turnAfter, offAfter }: Pizza,
  { turnAt, offAt }: Guide,
  turned: boolean,
): { turnAfter?: number; offAfter?: number } | null {
  const after = (at: number | null): number | null =>
    at === null ? null : Math.min(7200, Math.max(30, Math.round(at - (launchedAt ?? 0))));
  const [turn, off] = [turned ? null : after(turnAt), after(offAt)];
  const moves = {
    ...(turn !== null && Math.abs(turn - (turnAfter ?? 0)) >= WORTH && { turnAfter: turn }),
    ...(off !== null && Math.abs(off - offAfter) >= WORTH && { offAfter: off }),
  };
  return Object.keys(moves).length > 0 ? moves : null;
}
