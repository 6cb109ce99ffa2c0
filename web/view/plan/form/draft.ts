import type { Signal } from '@preact/signals';
import { USUAL_BALL } from '../../../../shared/evening/ball.ts';
import type { PlanSettings } from '../../../../shared/evening/evening.ts';
import { doughParts, type DoughFormula, type Formula } from '../../../../shared/evening/formula.ts';
import type { PlanDraft } from '../../../../shared/evening/plan.ts';
import { newest } from '../../../stores/plan.ts';

const HOUR_MS = 3600_000;

/** Tonight at 19:00, or tomorrow where that is less than four hours away. */
function nextEvening(from: number): string {
  const at = new Date(from);
  at.setHours(19, 0, 0, 0);
  if (at.getTime() - from < 4 * HOUR_MS) at.setDate(at.getDate() + 1);
  return at.toISOString();
}

/** What a new plan starts from; the server adds what it knows of fire and stone. */
export function freshDraft(from: number, eaters: PlanDraft['guests'], known: readonly Formula[]): PlanDraft {
  const input: PlanSettings = {
    serveAt: nextEvening(from),
    pizzas: 6,
    ballGrams: USUAL_BALL,
    hydration: 0.61,
    saltFraction: 0.023,
    oilFraction: 0,
    sugarFraction: 0,
    yeast: 'instant',
    yeastFraction: null,
    bulkHours: 3.5,
    coldHours: 0,
    coldAs: 'mass',
    ballHours: 2,
    fridgeC: 4,
    roomC: 21,
    altitudeM: 0,
    unit: 'C',
    mixer: 'stand',
    doughC: 24,
    wasteFraction: 0.02,
    kneadMinutes: 8,
    bakeMinutes: 7.5,
    recoveryMinutes: 5,
    fireLeads: [],
    stone: { name: '', material: 'cordierite', thicknessMm: 15, gapMm: 10 },
    rawMeat: false,
  };
  const sauce = newest(known, 'sauce')[0];
  const draft = { input, formula: null, sauce: sauce ? usedOf(sauce) : null, guests: eaters, run: [] };
  const dough = newest(known, 'dough').find(({ coldHours }) => coldHours === 0);
  return dough ? withFormula(draft, dough) : draft;
}

export const usedOf = ({ id, version, name }: Formula): NonNullable<PlanDraft['formula']> => ({
  id,
  version,
  name,
});

/** The draft with this dough in it, balls as large as they were. */
export const withFormula = (draft: PlanDraft, dough: DoughFormula): PlanDraft => ({
  ...draft,
  formula: usedOf(dough),
  input: { ...draft.input, ...doughParts(dough) },
});

/** Whether something of the formula was changed since it was taken. */
export function isChanged(input: Partial<PlanSettings>, dough: DoughFormula): boolean {
  const parts: Partial<PlanSettings> = doughParts(dough);
  return (Object.keys(parts) as (keyof PlanSettings)[]) // the keys of what was just made
    .some((part) => input[part] !== parts[part]);
}

export type Draft = Signal<PlanDraft>;
export const change = (draft: Draft, patch: Partial<PlanSettings>): void => {
  draft.value = { ...draft.value, input: { ...draft.value.input, ...patch } };
};
