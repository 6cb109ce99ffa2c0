import { isMistake } from '../../../shared/cook/bakes.ts';
import type { Settings } from '../../../shared/api/api.ts';
import type { EngineView } from '../../../shared/engine.ts';
import type { CookEvent } from '../../../shared/event.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { LiveGuide } from '../../../shared/evening/plan.ts';
import { tasteWords } from '../../../shared/evening/taste.ts';
import { nextTime, QUIET_SECONDS, within, type Announced } from '../../evening/bake/announced-time.ts';
import { stepBake, type Bake } from '../../evening/bake/bake.ts';
import { guide, wantedFor, warningOf, type Wanted, type Warning } from '../../evening/bake/guide.ts';
import { personalReason, reasonOf } from '../../evening/bake/reason-for-move.ts';
import type { Store, StoredEvent } from '../../store/store.ts';
import { bakeFrom, stoneKey } from './bake-start.ts';
import type { VerdictHistory, Taught } from './verdict-history.ts';
import { ownTimes } from './own-times.ts';
import { isByPerson } from '../history/cook-entries.ts';
import { boundTimes, isOnStone, type BakeTimes } from '../../../shared/cook/run.ts';
import type { RunningCook } from '../live/running.ts';

const NEUTRAL_TASTE = { base: 0, crust: 0, wetness: 0 };
/** A reading that is older than this, s, is no reading of now. */
const FRESH_SECONDS = 20;
/** Seconds before the call at which a look is worth it, at most; and the share of a short bake. */
const LOOK_BEFORE = { seconds: 60, share: 0.2 };
/** Base and top are compared once the launch has calmed down, s. */
const COMPARE_AFTER_SECONDS = 90;
/** A bake that was not followed for so long, s, was played through at once: it is gone through again. */
const REPLAY_AFTER_SECONDS = 30;

type Followed = {
  bake: Bake;
  own: BakeTimes;
  /** What the taste wants with what verdicts taught, and before that, s of a usual bake. */
  wanted: Wanted;
  plain: Wanted;
  taught: Taught;
  /** Which stone the fall is kept under. */
  stone: string;
  warning: Warning | null;
};
type RecordEvent = (event: CookEvent) => void;

/** Follows each pizza on the stone, moves its times, and keeps what it had when it comes off. */
export class BakeGuide {
  private readonly store: Store;
  private readonly verdicts: VerdictHistory;
  private readonly followed = new Map<string, Followed>();
  private cook: RunningCook | null = null;

  constructor(store: Store, verdicts: VerdictHistory) {
    this.store = store;
    this.verdicts = verdicts;
  }

  /** To be called when something happened: a launch gets the times of its eater before anybody has seen others. */
  happened(cook: RunningCook, t: number, settings: Settings, record: RecordEvent): void {
    this.forgetOthers(cook);
    for (const pizza of cook.pizzas)
      if (isOnStone(pizza) && this.followed.get(pizza.id)?.bake.launchedAt !== pizza.launchedAt)
        this.launched(cook, pizza, t, settings, record);
  }

  /** To be called with each tick of the cook. @param record puts an event of now into it */
  tick(cook: RunningCook, t: number, view: EngineView, settings: Settings, record: RecordEvent): void {
    this.forgetOthers(cook);
    for (const pizza of cook.pizzas) {
      if (isOnStone(pizza)) this.follow(cook, pizza, t, view, settings, record);
      else this.ended(cook, pizza, settings);
    }
  }

  private forgetOthers(cook: RunningCook): void {
    if (cook !== this.cook) this.followed.clear();
    this.cook = cook;
  }

  private launched(
    cook: RunningCook,
    pizza: Pizza,
    t: number,
    settings: Settings,
    record: RecordEvent,
  ): Followed {
    const followed = this.start(cook, pizza, t, settings);
    // Launched again, or its off undone: what was said of it was said of another bake.
    const { baked, ...bare } = pizza;
    if (baked) cook.putPizza({ ...bare, base: null, top: null });
    // After a restart: times that were set since, by guidance or by hand, stand.
    if (sinceLaunch(cook, pizza).times.length > 0) return followed;
    const { own, wanted, plain, taught } = followed;
    const off = within(wanted.base, own.offAfter, taught.isTaught);
    const times = boundTimes({ turnAfter: turnFor(own, off), offAfter: off });
    // The engine has a pizza's times from its launch alone: one that was noticed has them from here.
    if (isKnown(cook.view(), pizza.id, times)) return followed;
    const by = off - own.offAfter;
    const who = { eater: pizza.eater, likes: tasteOf(pizza) };
    const why = by === 0 ? {} : { why: personalReason(by, plain.base - own.offAfter, who, taught.base) };
    record({ event: 'bake-times', pizza: pizza.id, ...times, ...asOwn(own), ...why, by: 'guidance' });
    return followed;
  }

  private follow(
    cook: RunningCook,
    pizza: Pizza,
    t: number,
    view: EngineView,
    settings: Settings,
    record: RecordEvent,
  ): void {
    const known = this.followed.get(pizza.id);
    const isNew = known?.bake.launchedAt !== pizza.launchedAt;
    const followed = isNew || !known ? this.launched(cook, pizza, t, settings, record) : known;
    followed.bake = stepBake(
      followed.bake,
      t,
      readingOf(cook, view, 'stone', t),
      readingOf(cook, view, 'dome', t),
    );
    const now = guide(followed.bake, followed.wanted);
    const since = t - followed.bake.launchedAt;
    followed.warning = since < COMPARE_AFTER_SECONDS ? null : warningOf(now, followed.wanted);
    if (isByHand(cook, pizza)) return;
    const offAfter = nextTime(announcedOf(cook, pizza, followed), since, now.off);
    if (offAfter === null) return;
    const turnAfter = isTurnOpen(pizza, since) ? turnFor(followed.own, offAfter) : null;
    const turn =
      turnAfter === null ? {} : { turnAfter: Math.max(turnAfter, Math.ceil(since) + QUIET_SECONDS.last) };
    const why = reasonOf(offAfter - pizza.offAfter, followed.bake, now, settings.unit ?? 'C');
    record({
      event: 'bake-times',
      pizza: pizza.id,
      ...boundTimes({ ...turn, offAfter }),
      ...asOwn(followed.own),
      why,
      by: 'guidance',
    });
  }

  private start(cook: RunningCook, pizza: Pizza, t: number, { stone }: Settings): Followed {
    const taught = this.verdicts.of(pizza.eater, cook);
    const own = ownTimes(cook, pizza);
    const taste = pizza.taste ?? NEUTRAL_TASTE;
    const followed: Followed = {
      bake: bakeFrom(this.store, this.verdicts, cook, pizza, stone, t),
      own,
      wanted: wantedFor(taste, own.offAfter, { base: taught.base.ln, top: taught.top.ln }),
      plain: wantedFor(taste, own.offAfter),
      taught,
      stone: stoneKey(stone),
      warning: null,
    };
    this.followed.set(pizza.id, followed);
    return followed;
  }

  private ended(cook: RunningCook, pizza: Pizza, { stone }: Settings): void {
    const followed = this.followed.get(pizza.id);
    if (!followed) return;
    this.followed.delete(pizza.id);
    if (pizza.offAt === null || isMistake(pizza)) return;
    const isBehind = pizza.offAt - followed.bake.launchedAt - followed.bake.base.since > REPLAY_AFTER_SECONDS;
    const bake = isBehind
      ? bakeFrom(this.store, this.verdicts, cook, pizza, stone, pizza.offAt)
      : followed.bake;
    const { base, top } = stepBake(bake, pizza.offAt, null, null);
    // Tapped late: what it lay beyond its end is not in it.
    const over = Math.max(0, followed.bake.launchedAt + base.since - pizza.offAt);
    const baked = {
      had: Math.max(0, base.had - over),
      top: top.reference === null ? null : Math.max(0, top.had - over),
      wantedBase: followed.plain.base,
      wantedTop: followed.plain.top,
      stone: followed.stone,
      fall: [...base.fall],
      domeFall: [...top.fall],
    };
    cook.putPizza({ ...pizza, baked });
  }

  live(cook: RunningCook | null, t: number): LiveGuide[] {
    if (!cook || cook !== this.cook) return [];
    return [...this.followed].flatMap(
      ([
        id,
        {
          taught,
          warning,
          bake: { launchedAt },
        },
      ]) => {
        const pizza = cook.pizzas.find((each) => each.id === id);
        if (!pizza || !isOnStone(pizza)) return [];
        const turnAt = pizza.turnAfter === null ? null : launchedAt + pizza.turnAfter;
        const offAt = launchedAt + pizza.offAfter;
        const before = Math.min(LOOK_BEFORE.seconds, LOOK_BEFORE.share * pizza.offAfter);
        const lookAt = Math.max(offAt - before, turnAt ?? 0);
        const action = actionOf(t, pizza.turnedAt === null ? turnAt : null, lookAt, offAt);
        const last = movesOf(cook, pizza).at(-1)?.event;
        const why = (last?.event === 'bake-times' ? last.why : null) ?? null;
        const lesson = taught.base.pizzas === 0 ? '' : taught.base.words;
        return [
          {
            pizza: id,
            action,
            turnAt,
            lookAt,
            offAt,
            warning,
            lesson,
            why,
            byHand: isByHand(cook, pizza),
          },
        ];
      },
    );
  }
}

function actionOf(t: number, turnAt: number | null, lookAt: number, offAt: number): LiveGuide['action'] {
  if (t >= offAt) return 'off';
  if (turnAt !== null && t >= turnAt) return 'turn';
  return t >= lookAt ? 'look' : 'wait';
}

const tasteOf = ({ taste, likes }: Pizza): string => likes || tasteWords(taste ?? NEUTRAL_TASTE);

/** Turn as far on in the bake as the person has it. */
const turnFor = ({ turnAfter, offAfter }: BakeTimes, off: number): number | null =>
  turnAfter === null ? null : Math.round((turnAfter * off) / offAfter);

/** Not turned yet, and neither called nor about to be. */
const isTurnOpen = ({ turnAfter, turnedAt }: Pizza, since: number): boolean =>
  turnAfter !== null && turnedAt === null && turnAfter - since > QUIET_SECONDS.last;

const asOwn = ({ turnAfter, offAfter }: BakeTimes) => ({ ownTurnAfter: turnAfter, ownOffAfter: offAfter });

function isKnown({ onStone }: EngineView, id: string, { turnAfter, offAfter }: BakeTimes): boolean {
  const known = onStone.find(({ pizza }) => pizza === id);
  if (!known) return false;
  const turn = known.turnAt === null ? null : known.turnAt - known.launchedAt;
  const same = (a: number | null, b: number | null): boolean =>
    a === null || b === null ? a === b : Math.abs(a - b) < 0.5;
  return same(known.offAt - known.launchedAt, offAfter) && same(turn, turnAfter);
}

/** What stone or dome reads now, °C; null where nothing fresh and good was read. */
function readingOf(cook: RunningCook, view: EngineView, role: 'stone' | 'dome', t: number): number | null {
  for (const channel of cook.header.channels) {
    const seen = channel.role === role ? view.channels[channel.id] : undefined;
    if (
      seen?.celsius != null &&
      !seen.isEstimate &&
      seen.lastGood !== null &&
      t - seen.lastGood <= FRESH_SECONDS
    )
      return seen.celsius;
  }
  return null;
}

/** Its launch as it was told, and the times that were set since. */
function sinceLaunch(cook: RunningCook, { id }: Pizza): { since: number; times: StoredEvent[] } {
  const standing = cook.events.filter(
    ({ undone, event }) => !undone && 'pizza' in event && event.pizza === id,
  );
  const at = standing.findLastIndex(
    ({ event }) => event.event === 'launch' || (event.event === 'answer' && event.noticed === 'launch'),
  );
  return {
    since: standing[at]?.t ?? 0,
    times: standing.slice(at + 1).filter(({ event }) => event.event === 'bake-times'),
  };
}

const movesOf = (cook: RunningCook, pizza: Pizza): StoredEvent[] =>
  sinceLaunch(cook, pizza).times.filter((each) => !isByPerson(each));

const isByHand = (cook: RunningCook, pizza: Pizza): boolean =>
  sinceLaunch(cook, pizza).times.some(isByPerson);

/** BakeTimes that were set with the launch itself were never seen otherwise. */
const SET_WITH_LAUNCH_SECONDS = 1;

/** What was announced, by the events: after a restart it is the same. */
function announcedOf(cook: RunningCook, pizza: Pizza, { own, taught, bake }: Followed): Announced {
  const { since, times } = sinceLaunch(cook, pizza);
  const { offAfter } = own;
  const announced = { own: offAfter, first: offAfter, now: offAfter, moved: 0, movedAt: -Infinity };
  for (const { t, event } of times) {
    if (event.event !== 'bake-times' || event.offAfter === undefined) continue;
    if (t - since < SET_WITH_LAUNCH_SECONDS) announced.first = event.offAfter;
    else {
      announced.moved += Math.abs(event.offAfter - announced.now);
      announced.movedAt = t - bake.launchedAt;
    }
    announced.now = event.offAfter;
  }
  return { ...announced, isTaught: taught.isTaught };
}
