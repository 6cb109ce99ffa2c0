import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { PlanAnswer } from '../../../shared/plan.ts';
import { formatClock, formatDay } from '../../lib/format.ts';
import { now } from '../../stores/live.ts';
import { dropPlan, loadPlan, plan, rehearsePlan, standing, tick } from '../../stores/plan.ts';
import { go } from '../../lib/router.ts';
import { Icon } from '../icon/index.tsx';
import { PlanForm } from './form.tsx';
import { Masses, Sauce } from './masses.tsx';
import { PlanRun } from './run.tsx';
import { Cautions } from '../evening-line/cautions.tsx';
import { Steps } from './steps.tsx';
import { EveningStyles } from './styles.tsx';

/** The evening before the fire: one form, then one list to be ticked off. */
export function PlanPage(): JSX.Element {
  const changing = useSignal(false);
  useEffect(() => void loadPlan(), []);
  const made = plan.value;
  return (
    <div class="page plan">
      <EveningStyles />
      {made === undefined && <p role="status">Fetching the plan …</p>}
      {made === null && (
        <>
          <h1>Plan an evening</h1>
          <p class="plan-lead">Say when the first pizza shall be on the table; the rest may stay as it is.</p>
          <PlanForm from={null} onDone={() => scrollTo(0, 0)} />
        </>
      )}
      {made && changing.value && (
        <>
          <h1>Change the plan</h1>
          <PlanForm
            from={made.draft}
            onDone={() => {
              changing.value = false;
              scrollTo(0, 0);
            }}
          />
        </>
      )}
      {made && !changing.value && (
        <Made
          made={made}
          onChange={() => {
            changing.value = true;
            scrollTo(0, 0);
          }}
        />
      )}
    </div>
  );
}

function Made({ made, onChange }: { made: PlanAnswer; onChange(): void }): JSX.Element {
  const is = standing.value ?? made.now;
  const serve = Date.parse(is.serveAt);
  return (
    <>
      <header class="page-head">
        <div>
          <h1 data-testid="plan-head">
            {made.draft.input.pizzas} pizzas, the first at {formatClock(serve)}
          </h1>
          <p class="cook-facts">
            {formatDay(serve)}
            {made.draft.formula && ` · ${made.draft.formula.name}, version ${made.draft.formula.version}`}
          </p>
        </div>
        <div class="row">
          <button type="button" class="button" onClick={onChange} data-testid="plan-change">
            <Icon name="note" /> Change
          </button>
          <button type="button" class="button" onClick={() => void later(serve)} data-testid="guests-late">
            <Icon name="wait" /> Guests 15 min later
          </button>
        </div>
      </header>
      <Gives gives={is.gives} />
      <Cautions list={now.value?.cautions ?? []} />
      <div class="plan-made">
        <div class="plan-kitchen">
          <Masses made={made} />
          <Sauce draft={made.draft} />
        </div>
        <Steps standing={is} fire={made.evening.fire} />
      </div>
      <PlanRun made={made} />
      <footer class="row plan-foot">
        <button type="button" class="button" data-testid="plan-rehearse" onClick={() => void rehearse()}>
          <Icon name="play" /> Rehearse this plan
        </button>
        <a class="button" href="#/stone">
          <Icon name="lid" /> Stone and tastes
        </a>
        <button type="button" class="button" data-testid="plan-drop" onClick={() => void dropPlan()}>
          <Icon name="bin" /> Drop the plan
        </button>
      </footer>
    </>
  );
}

const later = (serve: number): Promise<void> =>
  tick({ step: 'serve' }, new Date(serve + 15 * 60_000).toISOString());

async function rehearse(): Promise<void> {
  if (await rehearsePlan()) go('#/live');
}

/** What gives way where something was late. */
const Gives = ({ gives }: { gives: readonly string[] }): JSX.Element | null =>
  gives.length === 0 ? null : (
    <ul class="gives" aria-label="What gives" data-testid="plan-gives">
      {gives.map((one) => (
        <li key={one}>{one}</li>
      ))}
    </ul>
  );
