import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { BALL_SIZES, USUAL_BALL } from '../../../../shared/evening/ball.ts';
import type { PlanDraft } from '../../../../shared/evening/plan.ts';
import { busy } from '../../../stores/act/acts.ts';
import { dayAndClock, formulas, guests, newest, savePlan, servingAt } from '../../../stores/plan.ts';
import { unit } from '../../../stores/settings.ts';
import { Button } from '../../button/index.tsx';
import { Choice } from '../../sheet/choice.tsx';
import { Dough } from './dough.tsx';
import { change, freshDraft, withFormula, type Draft } from './draft.ts';
import { addEater, Eaters } from './eaters.tsx';
import { SauceForm } from './sauce.tsx';
import { Stepper } from '../stepper.tsx';
import { fromFahrenheit } from '../../../../shared/units.ts';
import { differenceInUnit, inUnit } from '../../../lib/format.ts';

/** The air around the grill: it decides how much charcoal, and how early the fire. */
function Outside({ draft }: { draft: Draft }): JSX.Element {
  const { outsideC, windy, altitudeM } = draft.value.input;
  const shown = unit.value;
  return (
    <details class="plan-card plan-more" data-testid="plan-outside">
      <summary>Outside: air, wind, altitude</summary>
      <Stepper
        label="Air"
        unit={`°${shown}`}
        value={Math.round(inUnit(outsideC ?? 20, shown))}
        low={Math.round(inUnit(-30, shown))}
        high={Math.round(inUnit(50, shown))}
        step={Math.round(differenceInUnit(2.5, shown))}
        onChange={(typed) => change(draft, { outsideC: shown === 'F' ? fromFahrenheit(typed) : typed })}
      />
      <Stepper
        label="Altitude"
        unit="m"
        value={altitudeM}
        low={-500}
        high={5000}
        step={100}
        onChange={(metres) => change(draft, { altitudeM: metres })}
      />
      <Choice
        legend="Wind at the grill"
        name="plan-wind"
        options={[
          ['no', 'Calm'],
          ['yes', 'Windy'],
        ]}
        value={windy ? 'yes' : 'no'}
        onChoose={(wind) => change(draft, { windy: wind === 'yes' })}
      />
    </details>
  );
}

/** All that a plan needs on one page: what is not touched is common practice. */
export function PlanForm({ from, onDone }: { from: PlanDraft | null; onDone(): void }): JSX.Element {
  const draft = useSignal<PlanDraft>(from ?? freshDraft(Date.now(), guests.value, formulas.value));
  /** A name in its field that nobody has tapped in yet comes too. */
  const typed = useSignal('');
  const { input } = draft.value;
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    addEater(draft, typed.value.trim());
    const saved = await savePlan({ ...draft.value, input: { ...draft.value.input, unit: unit.value } });
    if (saved) onDone();
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
      <Eaters draft={draft} typed={typed} />
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
      <Outside draft={draft} />
      <div class="plan-save">
        <Button
          type="submit"
          look="strong big"
          data-testid="plan-save"
          aria-busy={busy.value.has('save plan') ? 'true' : undefined}
        >
          {from ? 'Save the plan' : 'Make the plan'}
        </Button>
        {from && (
          <Button look="big" onClick={onDone}>
            Leave it as it was
          </Button>
        )}
      </div>
    </form>
  );
}

const SIZES = BALL_SIZES.map(
  ({ ballGrams, diameterCm }) => [String(ballGrams), `${diameterCm} cm, ${ballGrams} g`] as const,
);

const sizeOf = (grams: number | undefined): string | null =>
  SIZES.map(([key]) => key).find((key) => Math.abs(Number(key) - (grams ?? USUAL_BALL)) <= 15) ?? null;

function chooseDough(draft: Draft, id: string): void {
  const dough = newest(formulas.value, 'dough').find((formula) => formula.id === id);
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
