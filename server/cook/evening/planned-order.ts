import { DEFAULT_TARGETS, type GrillPrior } from '../../../shared/engine.ts';
import { planInput } from '../../../shared/evening/evening.ts';
import type { PlanDraft } from '../../../shared/evening/plan.ts';
import { bakeOf } from '../../evening/plan/run-layout.ts';
import { bestRun, runIn, type Run } from '../../evening/run/proposed-order.ts';
import { runFor } from '../../evening/run/run-for-guests.ts';
import { heldStone } from '../../core/core.ts';
import type { Own } from './plan-service.ts';

type Search = typeof bestRun;

/** The run of a draft, on a stone that is held as this grill holds it; ids are the places in the draft. */
function runOf({ input, run }: PlanDraft, own: Own, prior: GrillPrior | null, search: Search): Run {
  const settings = planInput.parse({ ...input, ...own, tastes: run.map(({ taste }) => taste) });
  const band = settings.stoneBand ?? DEFAULT_TARGETS.stone;
  const wishes = run.map(({ eater, taste }, i) => ({
    id: String(i),
    eater,
    taste,
    seconds: 60 * bakeOf(settings, i + 1).off,
  }));
  return search(wishes, heldStone(prior, band), band);
}

export const plannedRun = (draft: PlanDraft, own: Own, prior: GrillPrior | null): Run =>
  runOf(draft, own, prior, bestRun);

/** The order that people have in mind is left for one that is better by so much, s. */
const MIN_BETTER_SECONDS = 60;

/** A draft whose run nobody has made yet, with one in the best order; any other as it is. */
export function withRun(draft: PlanDraft, own: Own, prior: GrillPrior | null): PlanDraft {
  if (draft.run.length > 0) return draft;
  const made = { ...draft, run: runFor(draft) };
  // How a grill that nobody knows holds its stone is no reason for another order than people have in mind.
  if (prior === null) return made;
  const given = runOf(made, own, prior, runIn);
  const best = runOf(made, own, prior, bestRun);
  const { launches } = given.cost - best.cost < MIN_BETTER_SECONDS ? given : best;
  return { ...made, run: launches.flatMap(({ wish }) => made.run[Number(wish.id)] ?? []) };
}
