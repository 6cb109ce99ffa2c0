import type { Evening, EveningStep, Happening, StepName } from '../../../shared/evening/evening.ts';
import { gives } from './consequences.ts';
import { linksOf, reachableFrom, type Link } from './step-links.ts';
import { utc } from './timeline.ts';

const MINUTE_MS = 60_000;

/** `moved`: by how many whole minutes each step comes later than first planned, where it does. */
type Replanned = { evening: Evening; moved: Map<string, number>; gives: string[] };

/** As first worked out, nothing moved; what is done stays ticked off. */
export function asPlanned(evening: Evening, { evening: { steps } }: Replanned): Replanned {
  const done = new Set(steps.flatMap((step) => (step.done ? step.id : [])));
  const ticked = evening.steps.map((step) => ({ ...step, done: done.has(step.id) }));
  return { evening: { ...evening, steps: ticked }, moved: new Map(), gives: [] };
}

type Known = { done: Map<string, number>; expected: Map<string, number>; shift: number };

/** Ids that a happening means: "launch" without a pizza is the next one that has not been. */
function idOf({ step, pizza }: Happening, evening: Evening, used: Map<string, number>): string | undefined {
  if (pizza !== undefined) return `${step}:${pizza}`;
  const candidates = evening.steps.filter((each) => each.step === step);
  return (candidates.find(({ id }) => !used.has(id)) ?? candidates[0])?.id;
}

function knownOf(evening: Evening, happened: readonly Happening[], now: number): Known {
  const known: Known = { done: new Map(), expected: new Map(), shift: 0 };
  for (const each of happened) {
    const at = Date.parse(each.at);
    if (each.step === 'serve') known.shift = at - Date.parse(evening.serveAt);
    const id = each.step === 'serve' ? undefined : idOf(each, evening, known.done);
    if (id !== undefined) (at > now ? known.expected : known.done).set(id, at);
  }
  return known;
}

/**
 * What counts as done without a word of it. `sure`: what a done step waited for. `likely`: what was planned before the
 * last done step and now, since a person who taps one thing need not tap all; but not what is said to be expected
 * later, nor what waits for that.
 */
function silentOf(evening: Evening, links: readonly Link[], { done, expected }: Known) {
  const planned = new Map(evening.steps.map(({ id, at }) => [id, Date.parse(at)]));
  const last = Math.max(-Infinity, ...[...done.keys()].map((id) => planned.get(id) ?? -Infinity));
  const late = reachableFrom(expected.keys(), links, 'after');
  const likely = [...planned].filter(([id, at]) => at <= last && !expected.has(id) && !late.has(id));
  return { sure: reachableFrom(done.keys(), links, 'before'), likely: new Set(likely.map(([id]) => id)) };
}

type Placed = { is: Map<string, number>; done: Set<string> };
type Seen = { now: number; readyAt: number | null };

/** Steps that go with the fire and the table, not with the dough: where the first launch waits, they wait with it. */
const STEPS_WITH_LAUNCH: readonly StepName[] = [
  'sauce',
  'light-fire',
  'stone-on',
  'vents',
  'soak',
  'toppings',
];
const STEPS_AFTER_RUN: readonly StepName[] = ['shut-down', 'ash-out'];

/** How much later than planned the last launch was, and its pizza; the rest of the run follows it. */
function anchorOf(evening: Evening, { done }: Known): { pizza: number; late: number } | null {
  const launched = evening.steps.filter(({ id, step }) => step === 'launch' && done.has(id));
  const last = launched.reduce<EveningStep | undefined>(
    (a, b) => ((a?.pizza ?? 0) > (b.pizza ?? 0) ? a : b),
    undefined,
  );
  if (last?.pizza === undefined) return null;
  return { pizza: last.pizza, late: (done.get(last.id) ?? 0) - Date.parse(last.at) };
}

/**
 * Where each step comes now: done ones where they were, others no sooner than now, plan and what they wait for; `held`
 * is by how much fire and table wait for a late dough, ms.
 */
function placed(evening: Evening, links: readonly Link[], known: Known, seen: Seen, held = 0): Placed {
  const { now, readyAt } = seen;
  const { sure, likely } = silentOf(evening, links, known);
  const anchor = anchorOf(evening, known);
  const nextLaunch = `launch:${(anchor?.pizza ?? 0) + 1}`;
  const [is, done] = [new Map<string, number>(), new Set<string>()];
  const plannedAt = ({ step, pizza, at }: EveningStep): number => {
    const inRun = pizza === undefined ? STEPS_AFTER_RUN.includes(step) : pizza >= (anchor?.pizza ?? Infinity);
    if (anchor && inRun) return Date.parse(at) + anchor.late;
    return (
      Date.parse(at) + known.shift + (pizza === undefined && STEPS_WITH_LAUNCH.includes(step) ? held : 0)
    );
  };
  const place = (step: EveningStep): number => {
    const { id } = step;
    const isForeseen = readyAt !== null && id === nextLaunch;
    const waits = links
      .filter(({ to, fire }) => to === id && !(fire && isForeseen))
      .map(({ from, minutes }) => placeOf(from) + minutes * MINUTE_MS);
    const could = Math.max(Date.parse(step.at), ...waits);
    if (known.done.has(id) || sure.has(id) || (likely.has(id) && could <= now)) {
      done.add(id);
      return known.done.get(id) ?? Math.min(could, now);
    }
    if (isForeseen) waits.push(readyAt);
    const expected = known.expected.get(id);
    // A bake that goes on is as long as the grill says, not as planned.
    if (expected !== undefined && isBake(step) && known.done.has(`launch:${step.pizza}`))
      return Math.max(expected, now);
    return Math.max(expected ?? plannedAt(step), now, ...waits);
  };
  const steps = new Map(evening.steps.map((step) => [step.id, step]));
  // What a step waits for is placed before it; no link leads back.
  const placeOf = (id: string): number => {
    const step = steps.get(id);
    if (step && !is.has(id)) is.set(id, place(step));
    return is.get(id) ?? -Infinity;
  };
  for (const id of steps.keys()) placeOf(id);
  for (const step of evening.steps.filter((each) => isForHands(each) && !done.has(each.id)))
    is.set(step.id, Math.max(now, handsAt(evening, step, is)));
  const late = (is.get('launch:1') ?? 0) - Date.parse(firstLaunch(evening)) - known.shift;
  if (held === 0 && late > 0 && !done.has('launch:1')) return placed(evening, links, known, seen, late);
  return { is, done };
}

const isBake = ({ step }: EveningStep): boolean => step === 'turn' || step === 'off';

/** Steps of the hands keep their time before the launch that they are for. */
const STEPS_OF_HANDS: readonly StepName[] = ['stretch', 'toppings', 'warm'];
const isForHands = ({ step, pizza }: EveningStep): boolean =>
  pizza !== undefined && STEPS_OF_HANDS.includes(step);

function handsAt({ steps }: Evening, { pizza, at }: EveningStep, is: Map<string, number>): number {
  const launch = steps.find(({ id }) => id === `launch:${pizza}`);
  return (is.get(`launch:${pizza}`) ?? 0) - (Date.parse(launch?.at ?? at) - Date.parse(at));
}

const firstLaunch = ({ steps }: Evening): string => steps.find(({ id }) => id === 'launch:1')?.at ?? '';

const movedOf = (was: Map<string, number>, is: Map<string, number>): Map<string, number> =>
  new Map(
    [...was]
      .map(([id, before]) => [id, Math.round(((is.get(id) ?? before) - before) / MINUTE_MS)] as const)
      .filter(([, minutes]) => minutes !== 0),
  );

/**
 * The evening after what happened, seen at `now`. What is done stays; everything after moves as it must: the bulk
 * gives way by a fifth before the guests wait, and from the first launch on the run follows the launches. An `at` after
 * `now` is when something is now expected ("the guests come at …" as `serve`). `readyAt` is the stone's own forecast,
 * ms: it decides the next launch alone. `evening` is the plan as first worked out, `happened` all that has happened
 * since, so that the same call always gives the same plan.
 */
export function replan(
  evening: Evening,
  happened: readonly Happening[],
  now: string,
  readyAt: number | null = null,
): Replanned {
  const seen = { now: Date.parse(now), readyAt };
  const links = linksOf(evening);
  const known = knownOf(evening, happened, seen.now);
  const { is, done } = placed(evening, links, known, seen);
  const was = new Map(evening.steps.map((step) => [step.id, Date.parse(step.at)]));
  const steps = evening.steps
    .map((step) => ({ ...step, at: utc(is.get(step.id) ?? Date.parse(step.at)), done: done.has(step.id) }))
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  const later = (is.get('launch:1') ?? 0) - (was.get('launch:1') ?? 0);
  const serveAt = utc(Date.parse(evening.serveAt) + later);
  const lastOffAt = steps.findLast(({ step }) => step === 'off')?.at ?? serveAt;
  return {
    evening: { ...evening, steps, serveAt, lastOffAt },
    moved: movedOf(was, is),
    gives: gives({ evening, was, is, done, isForeseen: readyAt !== null }),
  };
}
