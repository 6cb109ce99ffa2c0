import type { JSX } from 'preact';
import { BENCH_FLOUR } from '../../../../shared/evening/ball.ts';
import { tasteWords } from '../../../../shared/evening/taste.ts';
import type { LivePlan, PlanAnswer, PlanStep } from '../../../../shared/evening/plan.ts';
import { formatClock, formatDay } from '../../../lib/format.ts';

const mass = (grams: number): string => (grams >= 1000 ? `${Math.round(grams / 10) / 100} kg` : `${grams} g`);

const Bought = ({ made }: { made: PlanAnswer }): JSX.Element => (
  <>
    <dl class="masses small" data-testid="plan-shopping">
      {made.shopping.map(({ name, grams, count }) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{count === undefined ? mass(grams) : count}</dd>
        </div>
      ))}
    </dl>
    <p class="cook-facts">
      Flour: {BENCH_FLOUR} g a pizza more than goes into the dough, for board and peel, rounded up.
    </p>
  </>
);

/** All that has to be in the house, by weight. */
export const Shopping = ({ made }: { made: PlanAnswer }): JSX.Element => (
  <section class="plan-card" aria-label="Shopping list">
    <h2>Shopping list</h2>
    <Bought made={made} />
  </section>
);

const dayOf = (step: PlanStep): string =>
  new Date(step.at).toLocaleDateString([], { weekday: 'short', day: 'numeric', month: 'short' });

/** Steps in order, with the day where it changes; those of the run stand in its own table. */
function StepList({ standing }: { standing: LivePlan }): JSX.Element {
  const steps = standing.steps.filter(({ step, pizza }) => pizza === undefined || SHOWN_STEPS.includes(step));
  return (
    <ol>
      {steps.map((step, i) => {
        const before = steps[i - 1];
        const isNewDay = !before || dayOf(before) !== dayOf(step);
        return (
          <li key={step.id}>
            <b>
              {isNewDay && `${dayOf(step)} `}
              {formatClock(Date.parse(step.at))}
            </b>{' '}
            {step.text}
          </li>
        );
      })}
    </ol>
  );
}
const SHOWN_STEPS: readonly string[] = ['refuel', 'toppings', 'warm'];

/** The plan on paper: a page of steps and shopping, one of pizzas and cautions; a long run begins on the first. */
export function PlanSheets({ made, standing }: { made: PlanAnswer; standing: LivePlan }): JSX.Element {
  const { draft, evening } = made;
  const clockAt = (id: string): string => {
    const at = standing.steps.find((step) => step.id === id)?.at;
    return at === undefined ? '' : formatClock(Date.parse(at));
  };
  const serve = Date.parse(standing.serveAt);
  const hasTurns = standing.steps.some(({ step }) => step === 'turn');
  return (
    <div class="plan-sheets" aria-hidden="true">
      <section>
        <h1>
          {draft.input.pizzas} pizzas, {formatDay(serve)}, the first at {formatClock(serve)}
        </h1>
        <StepList standing={standing} />
        <h2>Shopping list</h2>
        <Bought made={made} />
      </section>
      <section>
        <h2>The run</h2>
        <table>
          <thead>
            <tr>
              {['', 'On', ...(hasTurns ? ['Turn'] : []), 'Off', 'Pizza', 'For', 'Likes'].map((head) => (
                <th key={head}>{head}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {draft.run.map(({ name, eater, taste, diet, toppings }, i) => (
              <tr key={i}>
                <td>{i + 1}</td>
                <td>{clockAt(`launch:${i + 1}`)}</td>
                {hasTurns && <td>{clockAt(`turn:${i + 1}`)}</td>}
                <td>{clockAt(`off:${i + 1}`)}</td>
                <td>{[name, toppings].filter(Boolean).join(': ')}</td>
                <td>
                  {[eater, diet === 'all' ? '' : diet].filter(Boolean).join(', ')}
                  {made.clashes[i] && <b> {made.clashes[i]}</b>}
                </td>
                <td>{tasteWords(taste)}</td>
              </tr>
            ))}
          </tbody>
        </table>
        <h2>Mind</h2>
        <ul>
          {evening.cautions.map(({ id, text, source }) => (
            <li key={id}>
              {text} <i>{source}</i>
            </li>
          ))}
        </ul>
      </section>
    </div>
  );
}
