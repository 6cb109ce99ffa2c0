import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { gramsText, USUAL_BALL } from '../../../../shared/evening/ball.ts';
import type { PlanAnswer } from '../../../../shared/evening/plan.ts';
import { fromFahrenheit } from '../../../../shared/units.ts';
import { formatTemperature, inUnit } from '../../../lib/format.ts';
import { formulas, measureDough } from '../../../stores/plan.ts';
import { unit } from '../../../stores/settings.ts';
import { Button } from '../../button/index.tsx';
import { Stepper } from '../stepper.tsx';

const grams = (value: number): string => `${gramsText(value)} g`;

const YEAST = { fresh: 'Fresh yeast', 'active-dry': 'Active dry yeast', instant: 'Instant yeast' } as const;

/** What goes on the scale, large enough to be read over a bowl. */
export function Masses({ made: { draft, evening } }: { made: PlanAnswer }): JSX.Element {
  const { dough, waterC, iceGrams, preferment, solution, doughNotes } = evening;
  const { input } = draft;
  const rows: readonly (readonly [string, number | undefined])[] = [
    ['Flour', dough.flourGrams],
    ['Water', dough.waterGrams - (solution?.takeGrams ?? 0)],
    ['of that as ice', iceGrams > 0 ? iceGrams : undefined],
    ['Salt', dough.saltGrams],
    solution ? ['Yeast water', solution.takeGrams] : [YEAST[input.yeast], dough.yeastGrams],
    ['Oil', dough.oilGrams],
    ['Sugar', dough.sugarGrams],
  ];
  return (
    <section class="plan-card" aria-label="Dough">
      <h2>Dough</h2>
      <dl class="masses" data-testid="plan-masses">
        {rows.map(([name, mass]) =>
          mass === undefined || mass === 0 ? null : (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{grams(mass)}</dd>
            </div>
          ),
        )}
        <div class="water">
          <dt>Water at</dt>
          <dd data-testid="plan-water">{formatTemperature(waterC, unit.value)}</dd>
        </div>
      </dl>
      <p class="cook-facts">
        {grams(dough.totalGrams)} in all, {input.pizzas} balls of about {input.ballGrams ?? USUAL_BALL} g; the
        dough {evening.settings.measuredC === undefined ? 'should come' : 'came'} to{' '}
        {formatTemperature(evening.doughC, unit.value)}.
      </p>
      {preferment && (
        <p class="cook-facts" data-testid="plan-preferment">
          Of that in the {preferment.kind}: {grams(preferment.flourGrams)} flour,{' '}
          {grams(preferment.waterGrams)} water
          {preferment.yeastGrams > 0 && `, ${grams(preferment.yeastGrams)} yeast`}.
        </p>
      )}
      {solution && (
        <p class="cook-facts" data-testid="plan-solution">
          Yeast water: {solution.yeastGrams} g {YEAST[input.yeast].toLowerCase()} stirred into{' '}
          {solution.waterGrams} g of water. The dough needs {grams(dough.yeastGrams)} of yeast, less than a
          kitchen scale weighs.
        </p>
      )}
      <MeasuredDough evening={evening} />
      <ul class="dough-notes" data-testid="dough-notes">
        {doughNotes.map(({ id, text }) => (
          <li key={id}>{text}</li>
        ))}
      </ul>
    </section>
  );
}

/** A tap for the dough as it came out of kneading: the plan's times move, and the mixer is known better next time. */
function MeasuredDough({ evening: { settings, doughC } }: { evening: PlanAnswer['evening'] }): JSX.Element {
  const found = useSignal<number | null>(null);
  if (settings.measuredC !== undefined)
    return (
      <Button data-testid="dough-unmeasure" onClick={() => void measureDough(null)}>
        Take the measured {formatTemperature(doughC, unit.value)} back
      </Button>
    );
  const shown = found.value ?? Math.round(inUnit(doughC, unit.value));
  const save = (): void => void measureDough(unit.value === 'F' ? fromFahrenheit(shown) : shown);
  return (
    <div class="row" data-testid="dough-measure">
      <Stepper
        label="Measured after kneading"
        unit={`°${unit.value}`}
        value={shown}
        low={Math.round(inUnit(5, unit.value))}
        high={Math.round(inUnit(40, unit.value))}
        testid="dough-celsius"
        onChange={(value) => {
          found.value = value;
        }}
      />
      <Button data-testid="dough-measured" onClick={save}>
        The dough is {shown} °{unit.value}
      </Button>
    </div>
  );
}

/** The plan's sauce, in that version of it, by the number of pizzas. */
export function Sauce({ made: { draft, sauce: parts } }: { made: PlanAnswer }): JSX.Element | null {
  const { sauce: used } = draft;
  const sauce = formulas.value.find((formula) => formula.id === used?.id && formula.version === used.version);
  if (sauce?.kind !== 'sauce') return null;
  return (
    <section class="plan-card" aria-label="Sauce">
      <h2>Sauce</h2>
      <dl class="masses small">
        {parts.map(({ name, grams: mass }) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{grams(mass)}</dd>
          </div>
        ))}
      </dl>
      <p class="cook-facts">
        {sauce.name}. {sauce.note}
      </p>
    </section>
  );
}
