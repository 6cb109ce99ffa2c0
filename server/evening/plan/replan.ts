import type { Evening, EveningStep, Happening } from '../../../shared/evening.ts';
import { gives } from './gives.ts';
import { after, before, inOrder, linksOf, type Link } from './links.ts';
import { utc } from './timeline.ts';

const MINUTE = 60_000;

/** A step that is not where it was. `minutes` is how much later; `was` and `at` are instants. */
export type Moved = { id: string; was: string; at: string; minutes: number };
export type Replanned = { evening: Evening; moved: Moved[]; gives: string[] };

type Known = { done: Map<string, number>; expected: Map<string, number>; shift: number };

/** Ids that a happening means: "launch" without a pizza is the next one that has not been. */
function idOf({ step, pizza }: Happening, evening: Evening, taken: Map<string, number>): string | undefined {
  if (pizza !== undefined) return `${step}:${pizza}`;
  const candidates = evening.steps.filter((each) => each.step === step);
  return (candidates.find(({ id }) => !taken.has(id)) ?? candidates[0])?.id;
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
  const late = after([...expected.keys()], links);
  const likely = [...planned].filter(([id, at]) => at <= last && !expected.has(id) && !late.has(id));
  return { sure: before([...done.keys()], links), likely: new Set(likely.map(([id]) => id)) };
}

type Placed = { is: Map<string, number>; done: Set<string> };

/** Where each step comes now: done ones where they were, others no sooner than now, plan and what they wait for. */
function placed(evening: Evening, links: readonly Link[], known: Known, now: number): Placed {
  const { sure, likely } = silentOf(evening, links, known);
  const [is, done] = [new Map<string, number>(), new Set<string>()];
  const place = ({ id, at }: EveningStep): number => {
    const waits = links
      .filter(({ to }) => to === id)
      .map(({ from, minutes }) => (is.get(from) ?? -Infinity) + minutes * MINUTE);
    const could = Math.max(Date.parse(at), ...waits);
    if (known.done.has(id) || sure.has(id) || (likely.has(id) && could <= now)) {
      done.add(id);
      return known.done.get(id) ?? Math.min(could, now);
    }
    return Math.max(known.expected.get(id) ?? Date.parse(at) + known.shift, now, ...waits);
  };
  for (const step of inOrder(evening.steps, links)) is.set(step.id, place(step));
  return { is, done };
}

const movedOf = (was: Map<string, number>, is: Map<string, number>): Moved[] =>
  [...was].flatMap(([id, before]) => {
    const at = is.get(id) ?? before;
    const minutes = (at - before) / MINUTE;
    return Math.abs(minutes) < 0.5 ? [] : [{ id, was: utc(before), at: utc(at), minutes }];
  });

/**
 * The evening after what happened, seen at `now`. What is done stays; everything after moves as it must: the bulk
 * gives way by a fifth before the guests wait. An `at` after `now` is when something is now expected ("the stone is
 * ready at …" as `soak`, "the guests come at …" as `serve`). `evening` is the plan as first worked out, `happened` all
 * that has happened since, so that the same call always gives the same plan.
 */
export function replan(evening: Evening, happened: readonly Happening[], now: string): Replanned {
  const at = Date.parse(now);
  const links = linksOf(evening);
  const known = knownOf(evening, happened, at);
  const { is, done } = placed(evening, links, known, at);
  const was = new Map(evening.steps.map((step) => [step.id, Date.parse(step.at)]));
  const steps = evening.steps
    .map((step) => ({ ...step, at: utc(is.get(step.id) ?? Date.parse(step.at)), done: done.has(step.id) }))
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  const later = (is.get('launch:1') ?? 0) - (was.get('launch:1') ?? 0);
  const serveAt = utc(Date.parse(evening.serveAt) + later);
  return {
    evening: { ...evening, steps, serveAt },
    moved: movedOf(was, is),
    gives: gives({ evening, was, is, done }),
  };
}
