import type { JSX } from 'preact';
import type { LivePlan, PlanAnswer, PlanStep } from '../../../../shared/evening/plan.ts';
import { formatClock, formatSpan } from '../../../lib/format.ts';
import { tick, untick } from '../../../stores/plan.ts';
import { Button } from '../../button/index.tsx';
import { Icon } from '../../icon/index.tsx';

/** Of the run, what is not a matter of one pizza's own taps. */
const SHOWN_STEPS: readonly string[] = ['launch', 'refuel', 'toppings', 'warm'];

const isShown = ({ step, pizza }: PlanStep): boolean => pizza === undefined || SHOWN_STEPS.includes(step);

const nextOf = ({ fits, steps }: LivePlan): PlanStep | undefined =>
  fits ? steps.find(({ done }) => !done) : undefined;

/** What is to be done next, wherever on the page somebody reads. */
export function NextStep({ standing }: { standing: LivePlan }): JSX.Element | null {
  const next = nextOf(standing);
  if (!next || !isShown(next)) return null;
  return (
    <ol class="steps plan-next" aria-label="The next step">
      <Step step={next} at={Date.parse(standing.at)} isNext />
    </ol>
  );
}

/** The line of time in words: done, still to do up to the first launch, the run; the next step is pinned above. */
export function Steps({
  standing,
  fire,
}: {
  standing: LivePlan;
  fire: PlanAnswer['evening']['fire'];
}): JSX.Element {
  const at = Date.parse(standing.at);
  const steps = standing.steps.filter(isShown);
  const next = nextOf(standing);
  const isPinned = next !== undefined && isShown(next);
  const toDo = steps.filter((step) => !step.done && !(isPinned && step === next));
  const isOfRun = ({ pizza }: PlanStep): boolean => pizza !== undefined;
  const begins = toDo.findIndex(isOfRun);
  const [before, rest] = begins < 0 ? [toDo, []] : [toDo.slice(0, begins), toDo.slice(begins)];
  const line = (list: PlanStep[]): JSX.Element[] =>
    list.map((step) => <Step key={step.id} step={step} at={at} isNext={false} />);
  return (
    <section class="plan-card" aria-label="Steps">
      <h2>Step by step</h2>
      <Folded title="Done">{line(steps.filter(({ done }) => done))}</Folded>
      <ol class="steps">{line(before)}</ol>
      <Folded title="The run">{line(rest.filter(isOfRun))}</Folded>
      <ol class="steps">{line(rest.filter((step) => !isOfRun(step)))}</ol>
      <p class="cook-facts">
        The fire takes {fire.between[0]} to {fire.between[1]} min to a stone that is warm right through
        {fire.cooks === 0
          ? ' on most grills; yours has no cooks to learn from yet.'
          : `, by your last ${fire.cooks} ${fire.cooks === 1 ? 'cook' : 'cooks'}.`}
      </p>
    </section>
  );
}

const Folded = ({ title, children }: { title: string; children: JSX.Element[] }): JSX.Element | null =>
  children.length === 0 ? null : (
    <details class="plan-more">
      <summary>
        {title}: {children.length} {children.length === 1 ? 'step' : 'steps'}
      </summary>
      <ol class="steps">{children}</ol>
    </details>
  );

const DAY_MS = 24 * 3600_000;

/** Time of day, with the weekday where it is not the same day. */
function timeOf(at: number, now: number): string {
  const day =
    Math.abs(at - now) > DAY_MS / 2 ? `${new Date(at).toLocaleDateString([], { weekday: 'short' })} ` : '';
  return day + formatClock(at);
}

function Step({ step, at, isNext }: { step: PlanStep; at: number; isNext: boolean }): JSX.Element {
  const when = Date.parse(step.at);
  const flip = (): void => void (step.done ? untick(step) : tick(step));
  const state = step.done ? 'done' : isNext ? 'next' : '';
  return (
    <li class={`step ${state}`} data-testid={`step-${step.id}`}>
      <button
        type="button"
        class="step-tick"
        aria-pressed={step.done}
        aria-label={`${step.text} ${step.done ? 'Done' : 'Tick off'}`}
        data-testid={`tick-${step.id}`}
        onClick={flip}
      >
        {step.done && <Icon name="check" size={30} />}
      </button>
      <div class="step-words">
        <p>
          <time dateTime={step.at}>{timeOf(when, at)}</time>
          {step.moved !== 0 && !step.done && (
            <span class="moved">
              {formatSpan(Math.abs(step.moved) * 60)} {step.moved > 0 ? 'later' : 'sooner'}
            </span>
          )}
          {isNext && when > at && <span class="in">in {formatSpan((when - at) / 1000)}</span>}
        </p>
        <p>{step.text}</p>
      </div>
      {isNext && (
        <Button
          data-testid="step-late"
          onClick={() => void tick(step, new Date(Math.max(when, at) + 15 * 60_000).toISOString())}
        >
          15 min later
        </Button>
      )}
    </li>
  );
}
