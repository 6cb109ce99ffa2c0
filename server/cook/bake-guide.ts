import type { EngineView } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import type { Pizza } from '../../shared/pizza.ts';
import type { LiveGuide } from '../../shared/plan.ts';
import { bakeAt, startBake, stepBake, type Bake } from '../evening/bake/bake.ts';
import { drawnBy, usualDraw } from '../evening/bake/draw.ts';
import { guide, wantedFor, type Guide, type Wanted } from '../evening/bake/guide.ts';
import { touchOf, type Touch } from '../evening/stone/contact.ts';
import type { Material } from '../../shared/evening.ts';
import type { Store } from '../store/store.ts';
import type { Lessons } from './lessons.ts';
import { BY_GUIDE, isByPerson, isOnStone } from './pizzas.ts';
import { curveOf } from './review.ts';
import type { RunningCook } from './running.ts';

/** The times are moved only when they differ by this much, and not more often than this, s. */
const WORTH = 5;
const EVERY = 10;
const MIDDLING = { base: 0, crust: 0, wetness: 0 };

type Followed = {
  bake: Bake;
  wanted: Wanted;
  /** What the taste wants before any learning. */
  plain: Wanted;
  lesson: string;
  /** °C that a usual pizza draws this stone down by. */
  draw: number;
  seen: Seen;
  movedAt: number;
  guide: Guide | null;
};
/** The stone as it was read: at launch, and once the fall has come, °C. */
type Seen = { atLaunch: number | null; sum: number; count: number };
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
    one.bake = stepped(one, cook, t, view, touch);
    const turned = pizza.turnedAt !== null || pizza.turnAfter === null;
    one.guide = guide(one.bake, one.wanted, AS_IT_IS, t, turned, touch);
    const since = t - one.bake.launchedAt;
    if (since < FALLEN || t - one.movedAt < EVERY || byHand(cook, pizza.id)) return;
    const move = moveOf(pizza, one.guide, turned, since);
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
      points.findLast((p) => p.kind === role && p.t <= launchedAt)?.celsius ?? null;
    let bake = startBake(launchedAt, before('stone'), before('dome'));
    const draw = usualDraw(this.lessons.draws(cook));
    for (const point of points.filter((p) => p.t > launchedAt).sort((a, b) => a.t - b.t))
      bake = stepBake(bake, undrawn(point, launchedAt, draw), touch);
    const { base, top, words } = this.lessons.of(pizza.eater, cook);
    const usual = launchTimes(cook, pizza);
    const taste = pizza.taste ?? MIDDLING;
    const one: Followed = {
      bake,
      wanted: wantedFor(taste, { base, top }, usual),
      plain: wantedFor(taste, undefined, usual),
      lesson: words,
      draw,
      seen: { atLaunch: before('stone'), sum: 0, count: 0 },
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
      drew: drewBy(one.seen),
    };
    cook.putPizza({ ...pizza, baked });
  }

  live(cook: RunningCook | null, t: number): LiveGuide[] {
    if (!cook || cook !== this.cook) return [];
    return [...this.followed].flatMap(([pizza, { guide, lesson, bake }]) => {
      if (!guide) return [];
      const { say, turnAt, lookAt, offAt } = guide;
      const warning = t - bake.launchedAt < FALLEN ? null : guide.warning;
      return [{ pizza, say, turnAt, lookAt, offAt, warning, lesson, byHand: byHand(cook, pizza) }];
    });
  }
}

/**
 * A launch upsets lid, dome and stone: until so long after it, s, the stone counts as it was and no time is moved.
 */
const FALLEN = 75;
/** The engine's forecast knows no pizza on the stone: what it is now is held. */
const AS_IT_IS = { stone: [], dome: [] } as const;

type Point = { kind: 'stone' | 'dome'; t: number; celsius: number | null };

/** A stone as it would stand without a usual pizza on it; not known while the launch still upsets it. */
function undrawn(point: Point, launchedAt: number, draw: number): Point {
  const since = point.t - launchedAt;
  if (point.kind === 'dome' || point.celsius === null) return point;
  return { ...point, celsius: since < FALLEN ? null : point.celsius + drawnBy(since, draw) };
}

const drewBy = ({ atLaunch, sum, count }: Seen): number | null =>
  atLaunch === null || count === 0 ? null : Math.round((atLaunch - sum / count) * 10) / 10;

/** Brought on by the engine's estimates of now; a lid that moved counts from now. */
function stepped(one: Followed, cook: RunningCook, t: number, view: EngineView, touch: Touch): Bake {
  const { bake, draw, seen } = one;
  let next = bake;
  if (view.lidOpen !== bake.lidOpen) next = stepBake(next, { kind: 'lid', t, open: view.lidOpen }, touch);
  for (const { id, role } of cook.header.channels)
    if (role === 'stone' || role === 'dome') {
      const celsius = view.channels[id]?.celsius ?? null;
      next = stepBake(next, undrawn({ kind: role, t, celsius }, bake.launchedAt, draw), touch);
      if (role === 'dome' || celsius === null || t - bake.launchedAt < FALLEN) continue;
      seen.sum += celsius;
      seen.count++;
    }
  return next;
}

const timesOf = (cook: RunningCook, pizza: string) =>
  cook.events.filter(({ event, undone }) => !undone && event.event === 'bake-times' && event.pizza === pizza);

const byHand = (cook: RunningCook, pizza: string): boolean => timesOf(cook, pizza).some(isByPerson);

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
  since: number,
): { turnAfter?: number; offAfter?: number } | null {
  const after = (at: number | null): number | null =>
    at === null ? null : Math.min(7200, Math.max(30, Math.round(at - (launchedAt ?? 0))));
  // What is called already stays called.
  const [turn, off] = [
    turned || since >= (turnAfter ?? 0) ? null : after(turnAt),
    since >= offAfter ? null : after(offAt),
  ];
  const moves = {
    ...(turn !== null && Math.abs(turn - (turnAfter ?? 0)) >= WORTH && { turnAfter: turn }),
    ...(off !== null && Math.abs(off - offAfter) >= WORTH && { offAfter: off }),
  };
  return Object.keys(moves).length > 0 ? moves : null;
}
