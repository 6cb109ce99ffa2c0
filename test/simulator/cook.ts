import type { Act, Deed, Person, Sight } from './person/person.ts';
import { createHands, look, takeDue } from './person/hands.ts';
import type { Grill, Weather } from './physics/grill.ts';
import { createPizza } from './physics/pizza.ts';
import { stepWorld, type Sky } from './physics/step.ts';
import {
  addFuel,
  createWorld,
  domeFelt,
  placePizza,
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

const STEP = 0.5;
const DOUGH_AT = 22;
/** Seconds over which a person judges a trend. */
const TREND = 150;

const round = (value: number): number => Math.round(value * 100) / 100;

/** Gusts as a mean-reverting walk with a memory of 25 s (Ornstein–Uhlenbeck). */
function createSky({ wind, gusts, rain }: Weather, random: Random): () => Sky {
  const memory = Math.exp(-1 / 25);
  let gust = 0;
  return () => {
    gust = memory * gust + Math.sqrt(1 - memory ** 2) * gusts * random.normal();
    return { wind: Math.max(0, wind + gust), rain };
  };
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
function see(truth: Truth, t: number, world: World, random: Random): Sight {
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
  };
}

/** Lives through a cook. Same plan, same truth, to the last digit. */
export function cook(plan: CookPlan): Truth {
  const random = createRandom(plan.seed);
  const world = createWorld(plan.grill, plan.weather.ambient);
  const sky = createSky(plan.weather, random.fork('wind'));
  const hands = createHands(plan.person, random.fork('person'));
  const eyes = random.fork('eyes');
  const script = [...(plan.script ?? [])];
  const truth: Truth = emptyTruth(plan);
  for (let t = 0; t < plan.duration; t++) {
    truth.stone.push(round(stoneSurface(world)));
    truth.dome.push(round(domeFelt(world)));
    truth.onStone.push(world.zones[0].pizza !== null);
    if (t >= hands.nextLook) look(hands, see(truth, t, world, eyes));
    const scripted = script.filter(({ at }) => at === t).map(({ deed }) => deed);
    for (const deed of [...takeDue(hands, t), ...scripted]) {
      apply(world, deed, plan.person);
      if (t > 0 || deed.do !== 'vent') truth.actions.push({ t, ...deed });
    }
    const now = sky();
    for (let part = 0; part < 1; part += STEP) stepWorld(world, now, STEP);
  }
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
