import { isMistake } from '../../../shared/cook/bakes.ts';
import { z } from 'zod';
import {
  happening,
  type Evening,
  type Happening,
  type PlanSettings,
  type StepName,
} from '../../../shared/evening/evening.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { planDraft, type LivePlan, type PlanStep } from '../../../shared/evening/plan.ts';
import { addedBalls } from '../../evening/dough/second-dough.ts';
import { measured } from './kneading.ts';
import type { RunningCook } from '../live/running.ts';

/** `cook`: the rehearsal in which it was tapped. `mixedFor`: how many balls were planned when it was done to the dough. */
const tapped = happening.extend({ cook: z.number().optional(), mixedFor: z.number().optional() });
/** `cook`: the real one that follows the plan. `measured`: the dough after kneading, once it was. */
const storedPlan = z.object({
  draft: planDraft,
  happened: z.array(tapped),
  cook: z.number().nullable(),
  /** Of the run's pizzas in that cook, where they are not as it began. */
  ids: z.array(z.string()).default([]),
  measured: measured.nullable().default(null),
});
export type Tapped = z.infer<typeof tapped>;
export type StoredPlan = z.infer<typeof storedPlan>;

/** A plan as it was stored, of older versions too: what was added since has its default. Null for none. */
export function readPlan(stored: unknown): StoredPlan | null {
  const read = storedPlan.safeParse(stored);
  return read.success ? read.data : null;
}

/** What the evening is worked out from: the wish, with its eaters' tastes and the dough as it was measured. */
export const inputOf = ({ draft: { input, run }, measured }: StoredPlan): PlanSettings => ({
  ...input,
  tastes: run.map(({ taste }) => taste),
  ...(measured && { measuredC: measured.celsius }),
});

/** Warmer than this, °C, no stone is without a fire: it was put in. Under a dome so hot nobody is to put one in cold. */
const STONE_IN_ABOVE_CELSIUS = { stone: 60, dome: 160 };

type CookHappening = { step: StepName; pizza?: number; t: number };

/**
 * What a cook tells of its plan's steps, up to `t` s: the fire, what the stone's warmth has overtaken, the pizzas in the
 * order in which they were launched. Turn and off of the one on the stone are foreseen as the live screen says them.
 */
export function cookHappenings(cook: RunningCook, t: number): CookHappening[] {
  const { events, outputs } = cook;
  const lit = events.find(({ event, undone }) => event.event === 'fire-lit' && !undone);
  const first = (...states: readonly string[]): number | undefined =>
    outputs.find((output) => output.type === 'state' && states.includes(output.state))?.t;
  const at = (step: StepName, t: number | null | undefined): CookHappening[] =>
    t === null || t === undefined ? [] : [{ step, t }];
  const launched = cook.pizzas
    .filter((p) => p.launchedAt !== null && !isMistake(p))
    .sort((a, b) => (a.launchedAt ?? 0) - (b.launchedAt ?? 0));
  return [
    ...at('light-fire', lit?.t),
    ...at('stone-on', isStoneIn(cook) ? t : undefined),
    ...at('vents', first('soaking', 'ready', 'hot')),
    ...at('soak', first('ready')),
    ...launched.flatMap((pizza, i) => bakeHappenings(pizza, i + 1)),
  ];
}

/** A turn that is not wanted is over with the launch. */
function bakeHappenings(p: Pizza, pizza: number): CookHappening[] {
  const launchedAt = p.launchedAt ?? 0;
  const turn = p.turnedAt ?? p.offAt ?? launchedAt + (p.turnAfter ?? 0);
  return [
    { step: 'launch', pizza, t: launchedAt },
    { step: 'turn', pizza, t: Math.min(turn, p.offAt ?? Infinity) },
    { step: 'off', pizza, t: p.offAt ?? launchedAt + p.offAfter },
  ];
}

function isStoneIn(cook: RunningCook): boolean {
  const { channels } = cook.view();
  return (['stone', 'dome'] as const).some((role) => {
    const id = cook.header.channels.find((channel) => channel.role === role)?.id ?? '';
    return (channels[id]?.celsius ?? -Infinity) >= STONE_IN_ABOVE_CELSIUS[role];
  });
}

/** Steps by which a dough is mixed. */
const MIXING_STEPS: readonly Tapped['step'][] = ['mix', 'knead', 'bulk', 'cold', 'warm', 'ball', 'rest'];

/** What a tap says of the dough's size: nothing where the step is another one, or is only expected. */
export const mixedBy = (step: Tapped['step'], isDone: boolean, pizzas: number): Pick<Tapped, 'mixedFor'> =>
  isDone && MIXING_STEPS.includes(step) ? { mixedFor: pizzas } : {};

/** Whether a plan that no cook has followed yet proposed this serving, as it stood when last looked at. */
export const isProposed = (
  before: StoredPlan | null,
  last: { plan: LivePlan } | null,
  serveAt: string,
): boolean =>
  before?.cook === null &&
  (last?.plan.instead ?? []).some(
    (change) => 'serveAt' in change && Date.parse(change.serveAt) === Date.parse(serveAt),
  );

/** Whether the dough was mixed by now, ms: its yeast and hours are as they are. */
export const isMixed = (happened: readonly Happening[], now: number): boolean =>
  happened.some(({ step, at }) => MIXING_STEPS.includes(step) && Date.parse(at) <= now);

/** What to do about balls that were added after the dough was mixed; none where it is enough. */
export function ballsGive(tapped: readonly Tapped[], { settings, steps }: Evening, now: number): string[] {
  const mixed = tapped.find(({ mixedFor }) => mixedFor !== undefined)?.mixedFor ?? Infinity;
  const launch = steps.find(({ id }) => id === `launch:${mixed + 1}`);
  if (!launch || launch.done) return [];
  const isBalled = steps.some(({ step, done }) => step === 'ball' && done);
  return [addedBalls(settings, mixed, (Date.parse(launch.at) - now) / 3_600_000, isBalled)];
}

export const isSame = (a: Happening, step: string, pizza: number | undefined): boolean =>
  a.step === step && a.pizza === pizza;
/** All but what was said of this step. */
export const without = ({ happened }: StoredPlan, step: string, pizza: number | undefined): Tapped[] =>
  happened.filter((each) => !isSame(each, step, pizza));
export const isNew = (plain: readonly Happening[], b: Happening): boolean =>
  !plain.some((a) => isSame(a, b.step, b.pizza) && a.at < b.at);

/** A step's sentence with who its pizza is for. */
const withName = (text: string, step: StepName, name: string): string =>
  name && (step === 'launch' || step === 'off')
    ? text.replace(/^((?:Launch p|P)izza \d+)/, `$1 (${name})`)
    : text;

/** The steps as they are shown; `start` is the instant of the cook's t = 0, ms, null without one that follows the plan. */
export function stepsNow(
  { steps }: Evening,
  moved: ReadonlyMap<string, number>,
  start: number | null,
  names: readonly string[],
): PlanStep[] {
  return steps.map(({ id, step, pizza, at, text, done }) => ({
    id,
    step,
    ...(pizza !== undefined && { pizza }),
    at,
    t: start === null ? null : Math.round((Date.parse(at) - start) / 1000),
    text: withName(text, step, names[(pizza ?? 0) - 1] ?? ''),
    done,
    moved: moved.get(id) ?? 0,
  }));
}

/** As they were launched, then as they are to be. */
export function inRunOrder(pizzas: readonly Pizza[]): Pizza[] {
  const launchedFirst = (pizza: Pizza): number => pizza.launchedAt ?? Infinity;
  return [...pizzas].sort((a, b) => launchedFirst(a) - launchedFirst(b) || a.place - b.place);
}

/** What each pizza of a run is called, and who it is for. */
export const namesOf = (run: readonly Pick<Pizza, 'name' | 'eater'>[]): string[] =>
  run.map(({ name, eater }, i) =>
    [name === `Pizza ${i + 1}` ? '' : name, eater].filter(Boolean).join(' for '),
  );
