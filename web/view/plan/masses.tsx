import type { JSX } from 'preact';
import type { PlanAnswer, PlanDraft } from '../../../shared/plan.ts';
import { formatTemperature } from '../../lib/format.ts';
import { formulas } from '../../stores/plan.ts';
import { unit } from '../../stores/settings.ts';

const grams = (value: number): string =>
  `${value >= 20 ? Math.round(value) : Math.round(value * 100) / 100} g`;

const YEAST = { fresh: 'Fresh yeast', 'active-dry': 'Active dry yeast', instant: 'Instant yeast' } as const;

/** What goes on the scale, large enough to be read over a bowl. */
export function Masses({ made: { draft, evening } }: { made: PlanAnswer }): JSX.Element {
  const { dough, waterC } = evening;
  const { input } = draft;
  const rows: readonly (readonly [string, number | undefined])[] = [
    ['Flour', dough.flourGrams],
    ['Water', dough.waterGrams],
    ['Salt', dough.saltGrams],
    [YEAST[input.yeast], dough.yeastGrams],
    ['Oil', dough.oilGrams],
    ['Sugar', dough.sugarGrams],
  ];
  return (
    <section class="plan-card" aria-label="Dough">
      <h2>Dough</h2>
      <dl class="masses" data-testid="plan-masses">
        {rows.map(([name, mass]) =>
          mass === undefined ? null : (
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
        {grams(dough.totalGrams)} in all, {input.pizzas} balls of about {input.ballGrams ?? 270} g; the dough
        should come to {formatTemperature(input.doughC, unit.value)}.
      </p>
    </section>
  );
}

/** The plan's sauce, in that version of it, by the number of pizzas. */
export function Sauce({ draft: { sauce: used, input } }: { draft: PlanDraft }): JSX.Element | null {
  const sauce = formulas.value.find((one) => one.id === used?.id && one.version === used.version);
  if (sauce?.kind !== 'sauce') return null;
  return (
    <section class="plan-card" aria-label="Sauce">
      <h2>Sauce</h2>
      <dl class="masses small">
        {sauce.parts.map(({ name, gramsPerPizza }) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{grams(gramsPerPizza * input.pizzas)}</dd>
          </div>
        ))}
      </dl>
      <p class="cook-facts">
        {sauce.name}. {sauce.note}
      </p>
    </section>
  );
}
