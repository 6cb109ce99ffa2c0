import { computed, signal } from '@preact/signals';
import type { PlanSettings, Taste } from '../../shared/evening/evening.ts';
import type { Formula } from '../../shared/evening/formula.ts';
import type { LivePlan, PlanAnswer, PlanDraft, PlanStart } from '../../shared/evening/plan.ts';
import { call } from '../api.ts';
import { withZone } from '../lib/format.ts';
import { amend, attempt, startCook, tellEvent } from './act/acts.ts';
import { now } from './live.ts';
import { unit } from './settings.ts';

/** The plan of the evening as the server keeps it, and what a person does to it. */

/** Undefined until it was fetched, null where there is none. */
export const plan = signal<PlanAnswer | null | undefined>(undefined);
/** A plan was dropped that can be taken back. */
export const dropped = signal(false);
export const guests = signal<PlanStart['guests']>([]);
export const formulas = signal<readonly Formula[]>([]);

/** Steps as they stand; the live document is newer than what was fetched. */
export const standing = computed<LivePlan | null>(() => now.value?.plan ?? plan.value?.now ?? null);

function took(answer: PlanStart | null): boolean {
  if (!answer) return false;
  plan.value = answer.plan;
  guests.value = answer.guests;
  dropped.value = answer.dropped;
  return true;
}

export async function loadPlan(): Promise<void> {
  // The formulas first: a new plan starts from them.
  const known = await attempt('formulas', () => call<{ formulas: Formula[] }>('GET', '/api/formulas'));
  if (known) formulas.value = known.formulas;
  took(await attempt('plan', () => call<PlanStart>('GET', '/api/plan')));
}

/** The texts come in the unit of this screen where none was chosen for all. */
export const savePlan = async ({ input, ...draft }: PlanDraft): Promise<boolean> =>
  took(
    await amend('save plan', () =>
      call<PlanStart>('PUT', '/api/plan', {
        ...draft,
        input: { ...input, serveAt: withZone(input.serveAt), unit: unit.value },
      }),
    ),
  );

export const restorePlan = async (): Promise<boolean> =>
  took(await attempt('restore plan', () => call<PlanStart>('POST', '/api/plan/restore')));

export const dropPlan = async (): Promise<boolean> =>
  took(await attempt('drop plan', () => call<PlanStart>('DELETE', '/api/plan')));

/** @param instead ends a real cook that is running */
export const rehearsePlan = async (instead: boolean): Promise<boolean> =>
  took(
    await attempt('rehearse plan', () =>
      call<PlanStart>('POST', '/api/plan/rehearsal', { pace: 20, instead }),
    ),
  );

/** The dough is so warm after kneading, °C; null takes that back. */
export const measureDough = async (celsius: number | null): Promise<boolean> =>
  took(
    await attempt('measure dough', () =>
      celsius === null
        ? call<PlanStart>('DELETE', '/api/plan/dough')
        : call<PlanStart>('PUT', '/api/plan/dough', { celsius }),
    ),
  );

type Step = { step: string; pizza?: number | undefined };

/** A step is done now, or expected at another time. Lighting the fire is also the start of the cook. */
export async function tick({ step, pizza }: Step, at?: string): Promise<void> {
  const body = { step, ...(pizza !== undefined && { pizza }), ...(at !== undefined && { at }) };
  took(await attempt(`tick ${step} ${pizza}`, () => call<PlanStart>('POST', '/api/plan/happened', body)));
  if (step !== 'light-fire' || at !== undefined) return;
  const running = now.value?.cook;
  const follows = !running || standing.value?.steps.some(({ t }) => t !== null);
  if ((running || (await startCook())) && follows) await tellEvent('fire-lit', 'Fire lit');
}

export async function untick({ step, pizza }: Step): Promise<void> {
  const query = new URLSearchParams({ step, ...(pizza !== undefined && { pizza: String(pizza) }) });
  took(
    await attempt(`untick ${step} ${pizza}`, () => call<PlanStart>('DELETE', `/api/plan/happened?${query}`)),
  );
}

export async function keepFormula<Kind extends Formula>(formula: Kind): Promise<Kind | null> {
  const saved = await attempt('formula', () => call<Kind>('POST', '/api/formulas', formula));
  if (saved) formulas.value = [...formulas.value, saved];
  return saved;
}

type Of<Kind> = Extract<Formula, { kind: Kind }>;

/** The newest version of each formula of a kind. */
export function newest<Kind extends Formula['kind']>(all: readonly Formula[], kind: Kind): Of<Kind>[] {
  const isOf = (formula: Formula): formula is Of<Kind> => formula.kind === kind;
  const found = new Map<string, Of<Kind>>();
  for (const formula of all.filter(isOf))
    if (formula.version >= (found.get(formula.id)?.version ?? 0)) found.set(formula.id, formula);
  return [...found.values()];
}

/** Keeps what is made by `make` under a name: a known name becomes its next version. */
export function keepAs<Kind extends Formula['kind']>(
  kind: Kind,
  name: string,
  make: (id: string) => Of<Kind>,
): Promise<Of<Kind> | null> {
  const known = newest(formulas.value, kind).find((formula) => formula.name === name);
  return keepFormula(make(known?.id ?? idOf(name, kind)));
}

const idOf = (name: string, kind: string): string =>
  name
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
    .slice(0, 64) || kind;

/** Grams a ball so that all balls together weigh `grams`. */
export const ballOfMass = (grams: number, { pizzas, wasteFraction }: PlanSettings): number =>
  Math.round((grams * (1 - wasteFraction)) / pizzas);

/** Grams a ball so that `grams` of flour are used up. Yeast is too little to count. */
export function ballOfFlour(grams: number, settings: PlanSettings): number {
  const { hydration, saltFraction, oilFraction, sugarFraction } = settings;
  return ballOfMass(grams * (1 + hydration + saltFraction + oilFraction + sugarFraction), settings);
}

/** Tastes by one tap; finer ones by three. */
export const TASTES: readonly (readonly [label: string, taste: Taste])[] = [
  ['Pale, soft', { base: -1.5, crust: -1, wetness: 0 }],
  ['Middling', { base: 0, crust: 0, wetness: 0 }],
  ['Well done, crisp', { base: 1.5, crust: 1, wetness: 0 }],
];

/** The next time of day `clock` ("19:00") after `from` ms, on the day `days` later. ISO. */
export function servingAt(day: string, clock: string): string | null {
  const at = new Date(`${day}T${clock}`);
  return Number.isNaN(at.getTime()) ? null : at.toISOString();
}

/** Local day and time of an instant, as the inputs write them. */
export function dayAndClock(iso: string): { day: string; clock: string } {
  const at = new Date(iso);
  const two = (n: number): string => String(n).padStart(2, '0');
  return {
    day: `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`,
    clock: `${two(at.getHours())}:${two(at.getMinutes())}`,
  };
}
