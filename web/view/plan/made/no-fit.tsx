import type { JSX } from 'preact';
import type { Change } from '../../../../shared/evening/fit.ts';
import type { LivePlan, PlanAnswer } from '../../../../shared/evening/plan.ts';
import { formatClock } from '../../../lib/format.ts';
import { formulas, savePlan, tick } from '../../../stores/plan.ts';
import { Button } from '../../button/index.tsx';
import { withFormula } from '../form/draft.ts';

const weekday = (ms: number): string => new Date(ms).toLocaleDateString([], { weekday: 'long' });

const labelOf = (change: Change): string => {
  if (!('serveAt' in change)) return change.text;
  const at = Date.parse(change.serveAt);
  return `${weekday(at)} at ${formatClock(at)}: ${change.text}`;
};

/** Says that the evening can't be done as asked, and what can: nothing is changed until a button is tapped. */
export function NoFit({ made, standing }: { made: PlanAnswer; standing: LivePlan }): JSX.Element {
  const { draft } = made;
  const take = (change: Change): void => {
    const { formula, ...only } = { formula: undefined, ...change };
    const dough = formulas.value.find(({ id, version }) => id === formula?.id && version === formula.version);
    const times = 'serveAt' in only ? { serveAt: only.serveAt } : only.dough;
    const whole = dough?.kind === 'dough' ? withFormula(draft, dough) : null;
    const leavened = 'preferment' in times ? { preferment: times.preferment } : {};
    void savePlan(
      whole
        ? { ...whole, input: { ...whole.input, ...leavened } }
        : { ...draft, input: { ...draft.input, ...times } },
    );
  };
  const mix = standing.steps.find(({ step }) => step === 'mix');
  const isPast = mix !== undefined && !mix.done && Date.parse(mix.at) < Date.parse(standing.at);
  return (
    <section class="plan-card no-fit" data-testid="plan-no-fit" role="alert">
      <h2>This does not fit</h2>
      <p>{standing.why} The steps below are as you asked for them. What would fit:</p>
      <div class="row">
        {standing.instead?.map((change) => (
          <Button look="strong" key={change.text} data-testid="plan-instead" onClick={() => take(change)}>
            {labelOf(change)}
          </Button>
        ))}
        {isPast && (
          <Button data-testid="plan-began" onClick={() => void tick(mix, mix.at)}>
            The dough was mixed in time
          </Button>
        )}
      </div>
    </section>
  );
}
