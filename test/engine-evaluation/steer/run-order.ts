import type { Band, LaunchAhead, StoneAhead } from '../../../shared/engine.ts';
import { createCore } from '../../../server/core/core.ts';
import { bestRun, ownBand, runIn, type Wish } from '../../../server/evening/run/proposed-order.ts';
import { createPizza } from '../../simulator/physics/pizza.ts';
import { stepWorld } from '../../simulator/physics/step.ts';
import {
  createWorld,
  domeFelt,
  placePizza,
  stoneSurface,
  takePizza,
  type World,
} from '../../simulator/physics/world.ts';
import { headerOf } from '../../support/header.ts';
import { variedCook } from '../varied/cooks.ts';
import type { Half } from '../varied/structures.ts';

/**
 * What the proposed order of a run is worth on the simulator's own stone, beside every other order: after a warm-up and one
 * pizza, the engine is asked, and then each order is lived through from there, with a patient hand at the vents.
 */
export type Orders = {
  name: string;
  proposed: number;
  given: number;
  best: number;
  worst: number;
  count: number;
};

/** The stone is held in its band before the first pizza, s; a pizza lies so long, s. */
const WARM_UP_SECONDS = 4200;
const BAKE_SECONDS = 420;
/** Charcoal for the whole run, kg: a fire that dies has no best order. */
const SPARE_KILOGRAMS = 1.5;
const SKY = { wind: 1, rain: 0 };
/** Opens or shuts the vents by the dome, a little each ten seconds: a patient hand, the same in every order. */
const HAND = { every: 10, gain: 0.0006 };

type Lived = { world: World; t: number; past: number[] };

const copyOf = ({ world, t, past }: Lived): Lived => ({ world: structuredClone(world), t, past: [...past] });

function second(lived: Lived, domeTo: number): void {
  const { world } = lived;
  lived.past.push(stoneSurface(world));
  if (lived.past.length > 121) lived.past.shift();
  if (lived.t % HAND.every === 0)
    world.vent = Math.max(
      0.02,
      Math.min(1, world.vent + HAND.gain * HAND.every * (domeTo - domeFelt(world))),
    );
  stepWorld(world, SKY, 0.5);
  stepWorld(world, SKY, 0.5);
  lived.t += 1;
}

/** As the engine's own look ahead, but lived through: the same rule of waiting, by the truth. */
const MAX_WAIT_SECONDS = 900;
const SECONDS_A_DEGREE = 20;
const STEADY_CELSIUS = 6;

const missOf = (celsius: number, [low, high]: Band): number => Math.max(0, low - celsius, celsius - high);

function livedThrough(from: Lived, whole: Band, domeTo: number): StoneAhead {
  return {
    t: from.t,
    next({ band, seconds }): LaunchAhead {
      const lived = copyOf(from);
      let best: Lived | null = null;
      let nearest = copyOf(from);
      let [least, off] = [Infinity, Infinity];
      for (let waited = 0; waited <= MAX_WAIT_SECONDS && waited < least; waited++) {
        const surface = stoneSurface(lived.world);
        const beside = missOf(surface, whole);
        const isSteady = Math.abs(surface - (lived.past[0] ?? surface)) < STEADY_CELSIUS;
        const cost = beside > 0 ? Infinity : waited + SECONDS_A_DEGREE * missOf(surface, band);
        if (isSteady && waited % 10 === 0 && cost < least) [best, least] = [copyOf(lived), cost];
        if (waited % 10 === 0 && beside < off) [nearest, off] = [copyOf(lived), beside];
        second(lived, domeTo);
      }
      const launched = best ?? nearest;
      const [launchAt, stone] = [launched.t, stoneSurface(launched.world)];
      placePizza(launched.world, createPizza(0.07, 22, 48));
      for (let s = 0; s < seconds; s++) second(launched, domeTo);
      takePizza(launched.world);
      return {
        launchAt,
        stone,
        miss: missOf(stone, band),
        offAt: launched.t,
        rest: livedThrough(launched, whole, domeTo),
      };
    },
  };
}

/** All orders that differ, each from what its beginning left: the costs of all, s. */
function* costs(
  stone: StoneAhead,
  left: readonly Wish[],
  band: Band,
  missed = 0,
): Generator<{ ids: string; cost: number }> {
  if (left.length === 0) yield { ids: '', cost: stone.t + missed };
  const kinds = new Map(left.toReversed().map((wish) => [JSON.stringify([wish.taste, wish.seconds]), wish]));
  for (const wish of kinds.values()) {
    const { rest, miss } = stone.next({ band: ownBand(wish.taste, band), seconds: wish.seconds });
    const others = left.filter((other) => other !== wish);
    for (const { ids, cost } of costs(rest, others, band, missed + SECONDS_A_DEGREE * miss))
      yield { ids: `${wish.taste.base} ${ids}`, cost };
  }
}

/** @param tastes of the pizzas that wait, as they are given: −2 pale to 2 well done */
export function ordersOf(half: Half, i: number, tastes: readonly number[]): Orders | null {
  const { plan } = variedCook(half, i);
  const band: Band = [plan.person.band[0], plan.person.band[1]];
  const core = createCore(headerOf({ targets: { stone: [band[0], band[1]] } }));
  const lived: Lived = {
    world: createWorld(
      { ...plan.grill, charcoal: plan.grill.charcoal + SPARE_KILOGRAMS },
      plan.weather.ambient,
    ),
    t: 0,
    past: [],
  };
  const middle = (band[0] + band[1]) / 2;
  let domeTo = middle;
  const pass = (seconds: number): void => {
    for (const end = lived.t + seconds; lived.t < end;) {
      // the hand brings the stone to its band, not the dome
      if (lived.t % 60 === 0 && lived.t < WARM_UP_SECONDS)
        domeTo = Math.max(
          middle - 80,
          Math.min(middle + 60, middle + 1.5 * (middle - stoneSurface(lived.world))),
        );
      if (lived.t % 2 === 0) {
        core.line({ t: lived.t, channel: 'dome', celsius: domeFelt(lived.world) });
        core.line({ t: lived.t, channel: 'stone', celsius: stoneSurface(lived.world) });
      }
      second(lived, domeTo);
    }
  };
  pass(WARM_UP_SECONDS);
  if (missOf(stoneSurface(lived.world), band) > 0) return null;
  placePizza(lived.world, createPizza(0.07, 22, 48));
  core.line({ t: lived.t, event: 'launch', pizza: 'p0', turnAfter: null, offAfter: BAKE_SECONDS });
  pass(BAKE_SECONDS);
  takePizza(lived.world);
  core.line({ t: lived.t, event: 'off', pizza: 'p0' });
  pass(60);
  const ahead = core.ahead(null);
  if (!ahead) return null;
  const wishes = tastes.map((base, k): Wish => ({
    id: String(k),
    eater: String(k),
    taste: { base, crust: base, wetness: 0 },
    seconds: BAKE_SECONDS,
  }));
  const ids = (order: readonly { taste: Wish['taste'] }[]): string =>
    order.map(({ taste }) => `${taste.base} `).join('');
  const proposed = ids(bestRun(wishes, ahead, band).launches.map(({ wish }) => wish));
  const given = ids(runIn(wishes, ahead, band).launches.map(({ wish }) => wish));
  const found = [...costs(livedThrough(lived, band, domeTo), wishes, band)];
  const from = lived.t;
  const cost = (order: string): number => (found.find((each) => each.ids === order)?.cost ?? Infinity) - from;
  const all = found.map((each) => each.cost - from);
  return {
    name: plan.name,
    proposed: cost(proposed),
    given: cost(given),
    best: Math.min(...all),
    worst: Math.max(...all),
    count: all.length,
  };
}
