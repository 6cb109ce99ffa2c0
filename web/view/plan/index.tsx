import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { PlanAnswer } from '../../../shared/evening/plan.ts';
import { formatClock, formatDay } from '../../lib/format.ts';
import { asked } from '../../stores/act/ask.ts';
import { now } from '../../stores/live.ts';
import {
  dropped,
  dropPlan,
  formulas,
  loadPlan,
  plan,
  rehearsePlan,
  restorePlan,
  standing,
  tick,
} from '../../stores/plan.ts';
import { go } from '../../lib/router.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { isChanged } from './form/draft.ts';
import { PlanForm } from './form/form.tsx';
import { Masses, Sauce } from './made/masses.tsx';
import { NoFit } from './made/no-fit.tsx';
import { PlanSheets, Shopping } from './made/print.tsx';
import { PlanRun } from './made/planned-run.tsx';
import { Cautions } from '../notes/cautions.tsx';
import { NextStep, Steps } from './made/steps.tsx';

/** The evening before the fire: one form, then one list to be ticked off. */
export function PlanPage(): JSX.Element {
  const changing = useSignal(false);
  useEffect(() => void loadPlan(), []);
  const made = plan.value;
  return (
    <div class="page plan">
      {made === undefined && <p role="status">Fetching the plan …</p>}
      {made === null && (
        <>
          <h1>Plan an evening</h1>
          {dropped.value && (
            <p class="row">
              The plan was dropped.
              <Button data-testid="plan-restore" onClick={() => void restorePlan()}>
                <Icon name="undo" /> Take it back
              </Button>
            </p>
          )}
          <p class="plan-lead">
            Say when the first pizza should be on the table. The rest can stay as it is.
          </p>
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
            {formatDay(serve)} · the last off at {formatClock(Date.parse(is.lastOffAt))} ·{' '}
            {(made.evening.charcoalToHave / 1000).toFixed(1)} kg of charcoal
            {formulaWords(made.draft)}
          </p>
        </div>
        <div class="row">
          <Button onClick={onChange} data-testid="plan-change">
            <Icon name="note" /> Change
          </Button>
          <Button onClick={() => void later(serve)} data-testid="guests-late">
            <Icon name="wait" /> Guests 15 min later
          </Button>
        </div>
      </header>
      <NextStep standing={is} />
      {!is.fits && <NoFit made={made} standing={is} />}
      <Gives gives={is.gives} />
      <Cautions list={now.value?.cautions ?? []} />
      <div class="plan-made">
        <div class="plan-kitchen">
          <Masses made={made} />
          <Sauce made={made} />
        </div>
        <Steps standing={is} fire={made.evening.fire} />
      </div>
      <PlanRun made={made} />
      <Shopping made={made} />
      <footer class="row plan-foot">
        <Button data-testid="plan-rehearse" onClick={rehearse}>
          <Icon name="play" /> Rehearse this plan
        </Button>
        <Button data-testid="plan-print" onClick={() => print()}>
          <Icon name="note" /> Print
        </Button>
        <a class="button" href="#/stone">
          <Icon name="lid" /> Stone and tastes
        </a>
        <Button data-testid="plan-drop" onClick={() => void dropPlan()}>
          <RareIcon name="bin" /> Drop the plan
        </Button>
      </footer>
      <PlanSheets made={made} standing={is} />
    </>
  );
}

/** Which dough, in which version, and whether it is that one still. */
function formulaWords({ formula: used, input }: PlanAnswer['draft']): string {
  if (!used) return '';
  const dough = formulas.value.find(({ id, version }) => id === used.id && version === used.version);
  const changed = dough?.kind === 'dough' && isChanged(input, dough) ? ', changed' : '';
  return ` · ${used.name}, version ${used.version}${changed}`;
}

const later = (serve: number): Promise<void> =>
  tick({ step: 'serve' }, new Date(serve + 15 * 60_000).toISOString());

function rehearse(): void {
  const { cook = null, rehearsal = null } = now.peek() ?? {};
  const isReal = cook !== null && rehearsal === null;
  const act = async (): Promise<void> => {
    if (await rehearsePlan(isReal)) go('#/live');
  };
  if (!isReal) return void act();
  asked.value = {
    title: 'End the cook?',
    text: 'A cook is running. A rehearsal takes its place and ends it.',
    why: '',
    yes: 'End it and rehearse',
    act: () => void act(),
  };
}

/** What gives way where something was late. */
const Gives = ({ gives }: { gives: readonly string[] }): JSX.Element | null =>
  gives.length === 0 ? null : (
    <ul class="gives" aria-label="What changes" data-testid="plan-gives">
      {gives.map((give) => (
        <li key={give}>{give}</li>
      ))}
    </ul>
  );
