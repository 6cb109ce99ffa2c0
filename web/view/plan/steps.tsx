import type { JSX } from 'preact';
import type { LivePlan, PlanAnswer, PlanStep } from '../../../shared/plan.ts';
import { formatClock, formatSpan } from '../../lib/format.ts';
import { tick, untick } from '../../stores/plan.ts';
import { Icon } from '../icon/index.tsx';

/** The line of time in words: what is done, what is next, what moved. The run has its own list. */
export function Steps({
  standing,
  fire,
}: {
  standing: LivePlan;
  fire: PlanAnswer['evening']['fire'];
}): JSX.Element {
  const steps = standing.steps.filter(({ step, pizza }) => pizza === undefined || step === 'launch');
  return (
    <section class="plan-card" aria-label="Steps">
      <h2>Step by step</h2>
      <ol class="steps">
        {steps.map((step) => (
          <Step key={step.id} step={step} at={Date.parse(standing.at)} isNext={step.id === standing.next} />
        ))}
      </ol>
      <p class="cook-facts">
        The fire takes {fire.between[0]} to {fire.between[1]} min to a ready stone
        {fire.cooks === 0
          ? ' on most grills; yours has no cooks to learn from yet.'
          : `, by your last ${fire.cooks} ${fire.cooks === 1 ? 'cook' : 'cooks'}.`}
      </p>
    </section>
  );
}

const DAY = 24 * 3600_000;

/** Time of day, with the weekday where it is not the same day. */
function timeOf(at: number, now: number): string {
  const day =
    Math.abs(at - now) > DAY / 2 ? `${new Date(at).toLocaleDateString([], { weekday: 'short' })} ` : '';
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
              {Math.abs(step.moved)} min {step.moved > 0 ? 'later' : 'sooner'}
            </span>
          )}
          {isNext && when > at && <span class="in">in {formatSpan((when - at) / 1000)}</span>}
        </p>
        <p>{step.text}</p>
      </div>
      {isNext && (
        <button
          type="button"
          class="button"
          data-testid="step-late"
          onClick={() => void tick(step, new Date(Math.max(when, at) + 15 * 60_000).toISOString())}
        >
          15 min later
        </button>
      )}
    </li>
  );
}
