import { SECONDS_A_DEGREE, type Band, type StoneAhead } from '../../../shared/engine.ts';
import type { Taste } from '../../../shared/evening/evening.ts';
import { temperatureText, type Unit } from '../../../shared/units.ts';

/**
 * A pizza that is still to come, and how long it lies, s. `had`: how many its eater had before; `isBegun`: hands have begun on
 * it, so that it stays first.
 */
export type Wish = {
  id: string;
  eater: string;
  taste: Taste;
  seconds: number;
  had?: number;
  isBegun?: boolean;
};
/** When it goes on and comes off, s, and the stone then, °C. */
export type Launch = { wish: Wish; launchAt: number; offAt: number; stone: number };
/** A run in its order. `cost`: when the last one is off, s, and what is missed of each one's own stone, as so many s. */
export type Run = { launches: Launch[]; lastOffAt: number; cost: number };

/**
 * Where in the band a pizza is best baked, 0 its bottom and 1 its top: pale ones low, well done and crisp ones high, a
 * wet one a little higher so that it dries. Our own first guess.
 */
const placeWanted = ({ base, crust, wetness }: Taste): number =>
  Math.max(0, Math.min(1, 0.5 + 0.18 * base + 0.1 * crust + 0.05 * wetness));

/** The part of the band that is right for it, °C: all of it for who likes it middling, the lower or upper half at the ends. */
export function ownBand(taste: Taste, [low, high]: Band): Band {
  const off = placeWanted(taste) - 0.5;
  const cut = Math.abs(off) * (high - low);
  return off < 0 ? [low, high - cut] : [low + cut, high];
}

/** All first pizzas, then all second ones, so that nobody waits for two of another; who one is for may be unknown. */
function rounds(wishes: readonly Wish[]): Wish[][] {
  const found: Wish[][] = [];
  const pizzasOf = new Map<string, number>();
  for (const wish of wishes) {
    const { eater, had = 0 } = wish;
    const round = eater === '' ? 0 : (pizzasOf.get(eater) ?? had);
    pizzasOf.set(eater, round + 1);
    (found[round] ??= []).push(wish);
  }
  return found.filter((round) => round.length > 0);
}

type At = { stone: StoneAhead; launches: readonly Launch[]; missed: number };
const EMPTY: Omit<At, 'stone'> = { launches: [], missed: 0 };

function after({ stone, launches, missed }: At, wish: Wish, band: Band): At {
  const { rest, miss, ...launch } = stone.next({
    band: ownBand(wish.taste, band),
    seconds: wish.seconds,
  });
  const { launchAt, offAt, stone: celsius } = launch;
  return {
    stone: rest,
    launches: [...launches, { wish, launchAt, offAt, stone: celsius }],
    missed: missed + SECONDS_A_DEGREE * miss,
  };
}

const costOf = ({ stone, missed }: At): number => stone.t + missed;

function along(from: At, order: readonly Wish[], band: Band): At {
  let at = from;
  for (const wish of order) at = after(at, wish, band);
  return at;
}

const runOf = (at: At): Run => ({
  launches: [...at.launches],
  lastOffAt: at.launches.at(-1)?.offAt ?? at.stone.t,
  cost: costOf(at),
});

/** The run in the order given. */
export const runIn = (wishes: readonly Wish[], stone: StoneAhead, band: Band): Run =>
  runOf(along({ stone, ...EMPTY }, wishes, band));

/** So many are tried in each order; of more, each is put where it is best among those before it. */
const MAX_TRIED = 6;
/** Launches that are gone through in search of an order, some 10 ms; what is later in the run then stays as it was given. */
const MAX_LAUNCHES = 4000;

type Search = { left: number };

const isAlike = (a: Wish, b: Wish): boolean =>
  placeWanted(a.taste) === placeWanted(b.taste) && a.seconds === b.seconds;

/** The best order of these from here: all are tried, but those that can't be better than what was found. */
function best(from: At, wishes: readonly Wish[], band: Band, budget: Search): At {
  let found = along(from, wishes, band);
  const search = (at: At, left: readonly Wish[]): void => {
    if (left.length === 0) {
      // Less than a second is nothing to change an order for.
      if (costOf(at) < costOf(found) - 1) found = at;
      return;
    }
    const least = left.reduce((sum, { seconds }) => sum + seconds, costOf(at));
    if (least >= costOf(found) - 1) return;
    left.forEach((wish, i) => {
      if (budget.left <= 0 || left.findIndex((other) => isAlike(other, wish)) < i) return;
      budget.left -= 1;
      search(
        after(at, wish, band),
        left.filter((other) => other !== wish),
      );
    });
  };
  search(from, wishes);
  return found;
}

/** Each is put where it is best among those before it, unless the order given is better than that. */
function inserted(from: At, wishes: readonly Wish[], band: Band, budget: Search): At {
  const cost = (order: readonly Wish[]): number => costOf(along(from, order, band));
  let order: readonly Wish[] = [];
  for (const [count, wish] of wishes.entries()) {
    budget.left -= (count + 1) ** 2;
    if (budget.left < 0) break;
    let least = Infinity;
    const before = order;
    for (let i = before.length; i >= 0; i--) {
      const tried = [...before.slice(0, i), wish, ...before.slice(i)];
      const found = cost(tried);
      if (found >= least - 1) continue;
      least = found;
      order = tried;
    }
  }
  const whole = [...order, ...wishes.slice(order.length)];
  return along(from, cost(whole) < cost(wishes) - 1 ? whole : wishes, band);
}

/**
 * The order that has all of them out soonest, each on the stone that is right for it, as the model foresees the stone. Rounds
 * stay, what hands have begun on goes first, and equal ones stay as they were given. A proposal: nothing is forced.
 */
export function bestRun(wishes: readonly Wish[], stone: StoneAhead, band: Band): Run {
  const isBegun = (wish: Wish): boolean => wish.isBegun === true;
  const budget = { left: MAX_LAUNCHES };
  let at = along({ stone, ...EMPTY }, wishes.filter(isBegun), band);
  for (const all of rounds(wishes)) {
    const round = all.filter((wish) => !isBegun(wish));
    at = (round.length > MAX_TRIED ? inserted : best)(at, round, band, budget);
  }
  return runOf(at);
}

/** Why a pizza stands where it does: "Ann likes it pale; the stone will be low in its band, about 258 °C." */
export function reason({ wish, stone }: Launch, band: Band, unit: Unit): string {
  const place = (stone - band[0]) / (band[1] - band[0]);
  const where =
    place < 0.35 ? 'low in its band' : place > 0.65 ? 'high in its band' : 'in the middle of its band';
  const want = placeWanted(wish.taste);
  const likes = want < 0.4 ? 'likes it pale' : want > 0.6 ? 'likes it well done' : 'likes it middling';
  return `${wish.eater || 'This one'} ${likes}; the stone will be ${where}, about ${temperatureText(stone, unit)}.`;
}
