import type { Advice } from '../../../shared/engine.ts';
import { createCore } from '../../../server/core/core.ts';
import { begin, type CookPlan } from '../../simulator/cook.ts';
import type { Person } from '../../simulator/person/person.ts';
import { createRandom } from '../../simulator/random.ts';
import { readySeconds } from '../scoring/truth.ts';
import { variedCook } from '../varied/cooks.ts';
import type { Half } from '../varied/structures.ts';
import { headerOf } from '../../support/header.ts';

/** How the vents are moved during a warm-up. */
export const STRATEGIES = ['by feel', 'rule', 'advice', 'advice, looks'] as const;
export type Strategy = (typeof STRATEGIES)[number];

export type WarmUp = {
  name: string;
  strategy: Strategy;
  /** °C over the top of the band at most. */
  over: number;
  /** Minutes from lighting to the first readiness, null: never. */
  readyMinutes: number | null;
  /** Share of the time after it in the band, null: never ready. */
  inBand: number | null;
  charcoal: number;
};

/** 90 min without a pizza. */
const SECONDS = 5400;
const HABIT: Record<Strategy, Person['habit']> = {
  'by feel': 'careful',
  rule: 'rule',
  advice: 'advised',
  'advice, looks': 'advised',
};

/** Someone who looks each minute or so, takes up to two to act, hits the vents to a fifth and feels the aim to ±15 °C. */
function personOf(strategy: Strategy, person: Person, seed: number): Person {
  const random = createRandom(seed).fork('steered');
  const aim = random.between(-15, 15);
  const [low, high] = person.band;
  const base: Person = {
    ...person,
    habit: HABIT[strategy],
    opening: 1,
    looksEvery: random.between(60, 150),
    reaction: random.between(10, 75),
    vague: 0.2,
    pizzas: 0,
    peeks: 0,
    refuel: 0,
  };
  return strategy === 'by feel' ? { ...base, band: [low + aim, high + aim] } : base;
}

/** Steers one warm-up. The same grill, fire, weather and person each time. */
export function warmUp(half: Half, i: number, strategy: Strategy): WarmUp {
  const { plan: from, dome: probe } = variedCook(half, i);
  const band = from.person.band;
  const plan: CookPlan = { ...from, person: personOf(strategy, from.person, from.seed), duration: SECONDS };
  const core = createCore(headerOf({ targets: { stone: [band[0], band[1]] } }));
  const noise = createRandom(from.seed).fork('steered probes');
  let advice: Advice | null = null;
  const { lived, world, second } = begin(plan, () => advice?.share ?? null);
  let felt = 0;
  let nextLook = 200;
  for (let t = 0; t < SECONDS; t++) {
    second();
    if (!strategy.startsWith('advice')) continue;
    const dome = lived.dome[t] ?? 0;
    felt = t === 0 ? dome : felt + (dome - felt) / (8 + (probe?.well ?? 0));
    const lines = [];
    if (t % 5 === 0)
      lines.push({ t: t + 0.1, channel: 'dome', celsius: Math.round(2 * (felt + 0.5 * noise.normal())) / 2 });
    if (strategy === 'advice' && t % 5 === 2)
      lines.push({
        t: t + 0.1,
        channel: 'stone',
        celsius: Math.round(2 * ((lived.felt[t] ?? 0) + 0.4 * noise.normal())) / 2,
      });
    if (strategy === 'advice, looks' && t >= nextLook) {
      nextLook = t + noise.between(60, 150);
      const celsius = Math.round((lived.stone[t] ?? 0) + noise.between(-2, 2));
      lines.push({
        t: t + 0.1,
        source: 'spot' as const,
        channel: 'stone',
        celsius,
        emissivitySet: 0.95,
        emissivity: 0.95,
      });
    }
    for (const line of lines)
      for (const output of core.line(line).outputs) if (output.type === 'advice') advice = output;
  }
  const truth = { ...lived, stoneBand: [band[0], band[1]] as [number, number] };
  const ready = readySeconds(truth);
  const first = ready.findIndex((now, t) => now && ready.slice(t, t + 60).every(Boolean));
  const after = first < 0 ? [] : lived.stone.slice(first);
  return {
    name: plan.name,
    strategy,
    over: lived.stone.reduce((most, celsius) => Math.max(most, celsius), 0) - band[1],
    readyMinutes: first < 0 ? null : first / 60,
    inBand:
      first < 0
        ? null
        : after.filter((celsius) => celsius >= band[0] && celsius <= band[1]).length / after.length,
    charcoal: world.fire.burnt,
  };
}
