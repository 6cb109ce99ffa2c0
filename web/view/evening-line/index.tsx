import type { JSX } from 'preact';
import type { Now } from '../../../shared/live.ts';
import { formatClock, formatSpan, timeWriter } from '../../lib/format.ts';
import { steady } from '../../lib/steady.ts';
import { changePizza } from '../../stores/acts.ts';
import { cookTime, now } from '../../stores/live.ts';
import { NEXT_STAGE } from '../../stores/pizzas.ts';
import { tick } from '../../stores/plan.ts';
import { Cautions } from './cautions.tsx';

const shown = steady(() => {
  const document = now.value;
  if (!document) return null;
  const { plan, guides, prompt, cautions } = document;
  return {
    plan,
    warned: guides.filter(({ warning }) => warning),
    hands: prompt && wantsHands(prompt, cookTime.value ?? 0) ? prompt : null,
    caution: cautions.slice(0, 1),
  };
});

/** What the evening wants besides the fire: a warning, the next pizza for the hands, the plan's next step. */
export function EveningLine(): JSX.Element | null {
  if (!shown.value) return null;
  const { plan, warned, hands, caution } = shown.value;
  if (!plan && warned.length === 0 && !hands && caution.length === 0) return null;
  return (
    <section class="evening-line" aria-label="The evening">
      {warned.map((guide) => (
        <Warning key={guide.pizza} guide={guide} />
      ))}
      {hands && <Prompt prompt={hands} />}
      {plan && <NextStep plan={plan} />}
      <Cautions list={caution} />
    </section>
  );
}

/** Base and top that will not finish together; all else of the guidance stands under the sentence. */
function Warning({ guide: { warning } }: { guide: Now['guides'][number] }): JSX.Element | null {
  if (!warning) return null;
  return (
    <div class="evening-card warns" data-testid="guide">
      <p>
        <strong>{warning.text}</strong> {warning.cure}
      </p>
    </div>
  );
}

/** Further off than this, s, the next pizza's own chip says enough. */
const SOON = 7 * 60;

const wantsHands = ({ say, stage, launchAt }: NonNullable<Now['prompt']>, t: number): boolean =>
  say !== 'wait' || stage !== 'ball' || launchAt - t < SOON;

function Prompt({
  prompt: { pizza, text, say, stage },
}: {
  prompt: NonNullable<Now['prompt']>;
}): JSX.Element {
  const next = stage === 'topped' ? null : NEXT_STAGE[stage];
  return (
    <div class={`evening-card ${say === 'wait' ? '' : 'now'}`} data-testid="prompt">
      <p>{text}</p>
      {next && (
        <button
          type="button"
          class="button"
          data-testid="prompt-done"
          onClick={() => void changePizza(pizza, { stage: next[0] })}
        >
          {next[1]}
        </button>
      )}
    </div>
  );
}

/** Steps that the pizzas' own taps tell: they are not asked for here. */
const TAPPED: readonly string[] = ['launch', 'turn', 'off', 'stretch'];

function NextStep({ plan }: { plan: NonNullable<Now['plan']> }): JSX.Element | null {
  const step = plan.steps.find(({ id }) => id === plan.next);
  if (!step) return null;
  const left = (Date.parse(step.at) - Date.parse(plan.at)) / 1000;
  const cook = now.value?.cook;
  const written =
    step.t !== null && cook?.rehearsal ? timeWriter(cook)(step.t) : formatClock(Date.parse(step.at));
  return (
    <div class="evening-card" data-testid="next-step">
      <p>
        <strong>{left > 30 ? `${written}, in ${formatSpan(left)}:` : 'Now:'}</strong> {step.text}
        {plan.gives[0] && <small> {plan.gives[0]}</small>}
      </p>
      {!TAPPED.includes(step.step) && (
        <button type="button" class="button" data-testid="next-done" onClick={() => void tick(step)}>
          Done
        </button>
      )}
    </div>
  );
}
