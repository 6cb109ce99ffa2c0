import type { Act, Deed, Person, Sight } from './person/person.ts';
import { createHands, look, takeDue, type Hands } from './person/hands.ts';
import type { Grill, Weather } from './physics/grill.ts';
import { createPizza } from './physics/pizza.ts';
import { stepWorld, type Sky } from './physics/step.ts';
import {
  addFuel,
  createWorld,
  domeFelt,
  placePizza,
  stoneFelt,
  stoneSurface,
  takePizza,
  type World,
} from './physics/world.ts';
import { createRandom, type Random } from './random.ts';

/** A cook before it happens. */
export type CookPlan = {
  name: string;
  seed: number;
  grill: Grill;
  weather: Weather;
  person: Person;
  /** Seconds. */
  duration: number;
  /** Things that happen whatever the person thinks, for the fixtures. */
  script?: readonly { at: number; deed: Deed }[];
};

/** What was so, a value a second, free of noise: the shape of the public truth files. */
export type Truth = {
  name: string;
  kind: string;
  stoneBand: [low: number, high: number];
  duration: number;
  actions: Act[];
  stone: number[];
  dome: number[];
  onStone: boolean[];
};
/** The truth, and what the stone's probe was at, °C. */
export type Lived = Truth & { felt: number[] };

const STEP = 0.5;
const DOUGH_AT = 22;
/** Seconds over which a person judges a trend. */
const TREND = 150;

const round = (value: number): number => Math.round(value * 100) / 100;

/** Gusts as a mean-reverting walk with a memory of 25 s (Ornstein–Uhlenbeck), and squalls as a Poisson process. */
function createSky({ wind, gusts, squalls, rain }: Weather, random: Random): () => Sky {
  const memory = Math.exp(-1 / 25);
  const front = random.fork('squalls');
  let gust = 0;
  let squall = 0;
  return () => {
    gust = memory * gust + Math.sqrt(1 - memory ** 2) * gusts * random.normal();
    squall = Math.max(0, squall - 1);
    if (squall === 0 && front.chance(squalls.perHour / 3600)) squall = front.between(60, 200);
    return { wind: Math.max(0, wind + gust + (squall > 0 ? squalls.wind : 0)), rain };
  };
}

/** How loosely a laid-on probe lies, 1 on average: differently after each time that the lid was up. */
function createContact(random: Random): (lidOpen: boolean) => number {
  let loose = random.between(0.3, 1.7);
  let wasOpen = false;
  return (lidOpen) => {
    if (wasOpen && !lidOpen) loose = random.between(0.3, 1.7);
    wasOpen = lidOpen;
    return loose;
  };
}

/** A deed as it came out: nobody hits a vent exactly, by a share that is the person's own. */
function hit(deed: Deed, { vague }: Person, random: Random): Deed {
  if (deed.do !== 'vent' || vague === 0) return deed;
  return { do: 'vent', to: Math.min(1, Math.max(0, deed.to * (1 + vague * random.normal()))) };
}

function apply(world: World, deed: Deed, { size, grip }: Person): void {
  if (deed.do === 'vent') world.vent = deed.to;
  else if (deed.do === 'lid-open') world.lidOpen = true;
  else if (deed.do === 'lid-close') world.lidOpen = false;
  else if (deed.do === 'launch') placePizza(world, createPizza((Math.PI * size ** 2) / 4, DOUGH_AT, grip));
  else if (deed.do === 'off') takePizza(world);
  else if (deed.do === 'fuel') addFuel(world, deed.kg);
}

/** What the person sees: their thermometer is 10 s behind and a degree or two unsure. */
function see(truth: Truth, t: number, world: World, random: Random, advised: number | null): Sight {
  const at = (series: number[], when: number): number => series[Math.max(0, Math.floor(when))] ?? Number.NaN;
  const slope = (series: number[]): number =>
    (at(series, t - 10) - at(series, t - 10 - TREND)) / (TREND / 60);
  return {
    t,
    stone: at(truth.stone, t - 10) + random.normal(),
    dome: at(truth.dome, t - 10) + 2 * random.normal(),
    perMinute: slope(truth.stone) + 0.3 * random.normal(),
    domePerMinute: slope(truth.dome) + 0.5 * random.normal(),
    vent: world.vent,
    baking: world.zones[0].pizza !== null,
    advised,
  };
}

/** A cook under way: `second` lives through the next one. */
export type Living = { lived: Lived; world: World; hands: Hands; second(): void };

/** @param advice the opening that somebody advises now */
export function begin(plan: CookPlan, advice: () => number | null = () => null): Living {
  const random = createRandom(plan.seed);
  const world = createWorld(plan.grill, plan.weather.ambient);
  const sky = createSky(plan.weather, random.fork('wind'));
  const hands = createHands(plan.person, random.fork('person'));
  const [eyes, vague] = [random.fork('eyes'), random.fork('vague')];
  const contact = createContact(random.fork('contact'));
  const script = [...(plan.script ?? [])];
  const lived: Lived = { ...emptyTruth(plan), felt: [] };
  function second(): void {
    const t = lived.stone.length;
    lived.stone.push(round(stoneSurface(world)));
    lived.felt.push(round(stoneFelt(world, contact(world.lidOpen))));
    lived.dome.push(round(domeFelt(world)));
    lived.onStone.push(world.zones[0].pizza !== null);
    if (t >= hands.nextLook) look(hands, see(lived, t, world, eyes, advice()));
    const scripted = script.filter(({ at }) => at === t).map(({ deed }) => deed);
    for (const wanted of [...takeDue(hands, t), ...scripted]) {
      const deed = hit(wanted, plan.person, vague);
      apply(world, deed, plan.person);
      if (t > 0 || deed.do !== 'vent') lived.actions.push({ t, ...deed });
    }
    const now = sky();
    for (let part = 0; part < 1; part += STEP) stepWorld(world, now, STEP);
  }
  return { lived, world, hands, second };
}

/** Lives through a cook. Same plan, same truth, to the last digit. */
export function live(plan: CookPlan): Lived {
  const { lived, second } = begin(plan);
  for (let t = 0; t < plan.duration; t++) second();
  return lived;
}

/** The truth of a cook, without what its probe was at. */
export function cook(plan: CookPlan): Truth {
  const { felt, ...truth } = live(plan);
  void felt;
  return truth;
}

const emptyTruth = (plan: CookPlan): Truth => ({
  name: plan.name,
  kind: plan.person.habit,
  stoneBand: [plan.person.band[0], plan.person.band[1]],
  duration: plan.duration,
  actions: [],
  stone: [],
  dome: [],
  onStone: [],
});
