import type { Random } from '../random.ts';
import type { Deed, Person, Sight } from './person.ts';
import { wantedVent } from './vents.ts';

/**
 * A person at work: a queue of things to do with the second at which each is due, filled from looks at the
 * thermometer. Baking has the usual order: lid up, pizza down, lid down, turn, off.
 */
export type Hands = {
  person: Person;
  random: Random;
  due: { at: number; deed: Deed }[];
  nextLook: number;
  nextPeek: number;
  baked: number;
  /** A pizza is on the stone, or about to be. */
  busy: boolean;
  /** Second of the last off. */
  freeSince: number;
  inBandSince: number | null;
  refuelled: boolean;
};

export function createHands(person: Person, random: Random): Hands {
  return {
    person,
    random,
    due: [{ at: 0, deed: { do: 'vent', to: person.opening } }],
    nextLook: 240,
    nextPeek: person.peeks > 0 ? random.between(0.3, 1.5) * person.peeks : Infinity,
    baked: 0,
    busy: false,
    freeSince: -1e9,
    inBandSince: null,
    refuelled: false,
  };
}

const plan = (hands: Hands, at: number, deed: Deed): void => {
  hands.due.push({ at: Math.round(at), deed });
  hands.due.sort((a, b) => a.at - b.at);
};

/** Lid up for `seconds`, with something done `after` so many seconds. */
function underTheLid(
  hands: Hands,
  at: number,
  why: string,
  seconds: number,
  deed?: [after: number, Deed],
): void {
  plan(hands, at, { do: 'lid-open', why });
  if (deed) plan(hands, at + deed[0], deed[1]);
  plan(hands, at + seconds, { do: 'lid-close' });
}

/** Looks, and plans what follows. */
export function look(hands: Hands, sight: Sight): void {
  if (sight.t < hands.nextLook) return;
  const { person, random } = hands;
  hands.nextLook = sight.t + person.looksEvery * random.between(0.7, 1.4);
  const wanted = wantedVent(person, sight);
  const decided = hands.due.some(({ deed }) => deed.do === 'vent');
  if (wanted !== sight.vent && !decided)
    plan(hands, sight.t + person.reaction * random.between(0.6, 1.6), { do: 'vent', to: wanted });
  thinkOfLaunch(hands, sight);
  thinkOfFuel(hands, sight);
  thinkOfPeek(hands, sight);
}

function thinkOfLaunch(hands: Hands, sight: Sight): void {
  const { person, busy, baked, freeSince } = hands;
  const [low, high] = person.band;
  const inBand = sight.stone >= low + 1 - person.hasty && sight.stone <= high;
  if (!inBand) hands.inBandSince = null;
  else hands.inBandSince ??= sight.t;
  const since = hands.inBandSince;
  if (busy || since === null || baked >= person.pizzas || sight.t - freeSince < person.pause) return;
  if (person.waits && (Math.abs(sight.perMinute) > 3 || sight.t - since < 60)) return;
  planPizza(hands, sight.t + hands.random.between(15, 70));
}

function planPizza(hands: Hands, at: number): void {
  const { person, random } = hands;
  hands.busy = true;
  hands.baked += 1;
  const down = random.between(4, 10);
  underTheLid(hands, at, 'launch', down + random.between(6, 18), [down, { do: 'launch' }]);
  const launched = at + down;
  if (person.turnAt !== null) {
    const turn = launched + person.turnAt * random.between(0.92, 1.15);
    const grip = random.between(3, 8);
    underTheLid(hands, turn, 'turn', grip + random.between(5, 14), [grip, { do: 'turn' }]);
  }
  const off = launched + person.bake * random.between(0.92, 1.1);
  const lift = random.between(4, 9);
  underTheLid(hands, off, 'off', lift + random.between(5, 16), [lift, { do: 'off' }]);
}

function thinkOfFuel(hands: Hands, sight: Sight): void {
  const { person, random, busy, refuelled } = hands;
  if (person.refuel === 0 || refuelled || busy || sight.t < 2400) return;
  if (sight.dome > person.band[0] - 70 || sight.domePerMinute > -0.5 || sight.vent < 0.4) return;
  hands.refuelled = true;
  const at = sight.t + random.between(60, 240);
  underTheLid(hands, at, 'fuel', random.between(30, 60), [12, { do: 'fuel', kg: person.refuel }]);
}

function thinkOfPeek(hands: Hands, sight: Sight): void {
  if (sight.t < hands.nextPeek || hands.busy) return;
  hands.nextPeek = sight.t + hands.person.peeks * hands.random.between(0.4, 1.8);
  const clash = hands.due.some(({ at }) => Math.abs(at - sight.t) < 90);
  if (!clash) underTheLid(hands, sight.t + 3, 'look', hands.random.between(8, 30));
}

/** What is due by now, in order. */
export function takeDue(hands: Hands, t: number): Deed[] {
  const ready = hands.due.filter(({ at }) => at <= t).map(({ deed }) => deed);
  if (ready.length > 0) hands.due = hands.due.filter(({ at }) => at > t);
  if (ready.some((deed) => deed.do === 'off')) {
    hands.busy = false;
    hands.freeSince = t;
  }
  return ready;
}
