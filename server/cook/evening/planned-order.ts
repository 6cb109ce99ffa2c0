import { DEFAULT_TARGETS, type GrillPrior } from '../../../shared/engine.ts';
import { planInput } from '../../../shared/evening/evening.ts';
import type { PlanDraft } from '../../../shared/evening/plan.ts';
import { bakeOf } from '../../evening/plan/run-layout.ts';
import { bestRun, type Run } from '../../evening/run/proposed-order.ts';
import { runFor } from '../../evening/run/run-for-guests.ts';
import { heldStone } from '../../core/core.ts';
import type { Own } from './plan-service.ts';

/** The run of a draft in the best order, on a stone that is held as this grill holds it; ids are the places in the draft. */
export function plannedRun({ input, run }: PlanDraft, own: Own, prior: GrillPrior | null): Run {
  const settings = planInput.parse({ ...input, ...own, tastes: run.map(({ taste }) => taste) });
  const band = settings.stoneBand ?? DEFAULT_TARGETS.stone;
  const wishes = run.map(({ eater, taste }, i) => ({
    id: String(i),
    eater,
    taste,
    seconds: 60 * bakeOf(settings, i + 1).off,
  }));
  return bestRun(wishes, heldStone(prior, band), band);
}

/** A draft whose run nobody has made yet, with one in the best order; any other as it is. */
export function withRun(draft: PlanDraft, own: Own, prior: GrillPrior | null): PlanDraft {
  if (draft.run.length > 0) return draft;
  const made = { ...draft, run: runFor(draft) };
  const { launches } = plannedRun(made, own, prior);
  return { ...made, run: launches.flatMap(({ wish }) => made.run[Number(wish.id)] ?? []) };
}
