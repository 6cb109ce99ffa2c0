import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { PlanDraft } from '../../../shared/plan.ts';
import { busy } from '../../stores/acts.ts';
import { dayAndClock, formulas, guests, newest, savePlan, servingAt } from '../../stores/plan.ts';
import { Choice } from '../sheet/choice.tsx';
import { Dough } from './dough.tsx';
import { change, freshDraft, withFormula, type Draft } from './draft.ts';
import { Eaters } from './eaters.tsx';
import { SauceForm } from './sauce.tsx';
import { Stepper } from './stepper.tsx';

/** All that a plan needs on one page: what is not touched is common practice. */
export function PlanForm({ from, onDone }: { from: PlanDraft | null; onDone(): void }): JSX.Element {
  const draft = useSignal<PlanDraft>(from ?? freshDraft(Date.now(), guests.value, formulas.value));
  const { input } = draft.value;
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const kept = await savePlan({ ...draft.value, run: runFor(draft.value) });
    if (kept) onDone();
  };
  return (
    <form class="plan-form" onSubmit={(event) => void save(event)}>
      <section class="plan-card">
        <h2>When, and how many?</h2>
        <When draft={draft} />
        <Stepper
          label="Pizzas"
          value={input.pizzas}
          low={1}
          high={60}
          testid="plan-pizzas"
          onChange={(pizzas) => change(draft, { pizzas: Math.round(pizzas) })}
        />
        <Choice
          legend="Size"
          name="plan-size"
          options={SIZES}
          value={sizeOf(input.ballGrams)}
          onChoose={(size) => change(draft, { ballGrams: Number(size), diameterCm: undefined })}
          testid="plan-size"
        />
      </section>
      <Eaters draft={draft} />
      <section class="plan-card">
        <h2>Which dough?</h2>
        <Choice
          legend="How long before"
          name="plan-dough"
          options={newest(formulas.value, 'dough').map(({ id, name }) => [id, name] as const)}
          value={draft.value.formula?.id ?? null}
          onChoose={(id) => chooseDough(draft, id)}
          testid="plan-dough"
        />
        <Dough draft={draft} />
      </section>
      <SauceForm draft={draft} />
      <div class="plan-save">
        <button
          type="submit"
          class="button strong big"
          data-testid="plan-save"
          aria-busy={busy.value.has('save plan') ? 'true' : undefined}
        >
          {from ? 'Keep the plan' : 'Make the plan'}
        </button>
        {from && (
          <button type="button" class="button big" onClick={onDone}>
            Leave it as it was
          </button>
        )}
      </div>
    </form>
  );
}

/** The run keeps its order as long as number and eaters are what they were. */
function runFor({ run, input, guests: eaters }: PlanDraft): PlanDraft['run'] {
  const known = run.every(({ eater }) => eater === '' || eaters.some(({ name }) => name === eater));
  if (run.length !== input.pizzas || !known || run.every(({ eater }) => eater === '')) return [];
  return run.map((pizza) => ({
    ...pizza,
    taste: eaters.find(({ name }) => name === pizza.eater)?.taste ?? pizza.taste,
  }));
}

const SIZES = [
  ['220', 'Small, 26 cm'],
  ['270', 'Middle, 30 cm'],
  ['330', 'Large, 33 cm'],
] as const;

const sizeOf = (grams: number | undefined): (typeof SIZES)[number][0] | null =>
  SIZES.map(([key]) => key).find((key) => Math.abs(Number(key) - (grams ?? 270)) <= 25) ?? null;

function chooseDough(draft: Draft, id: string): void {
  const dough = newest(formulas.value, 'dough').find((one) => one.id === id);
  if (dough) draft.value = withFormula(draft.value, dough);
}

function When({ draft }: { draft: Draft }): JSX.Element {
  const { day, clock } = dayAndClock(draft.value.input.serveAt);
  const set = (nextDay: string, nextClock: string): void => {
    const serveAt = servingAt(nextDay, nextClock);
    if (serveAt) change(draft, { serveAt });
  };
  return (
    <div class="row">
      <label class="field">
        First pizza on the table
        <input
          type="time"
          value={clock}
          required
          data-testid="plan-time"
          onChange={(event) => set(day, event.currentTarget.value)}
        />
      </label>
      <label class="field">
        Day
        <input
          type="date"
          value={day}
          required
          data-testid="plan-day"
          onChange={(event) => set(event.currentTarget.value, clock)}
        />
      </label>
    </div>
  );
}
