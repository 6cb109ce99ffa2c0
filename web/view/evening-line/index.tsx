import type { JSX } from 'preact';
import type { Now } from '../../../shared/live.ts';
import { formatClock, formatSpan, timeWriter } from '../../lib/format.ts';
import { changePizza } from '../../stores/acts.ts';
import { cookTime, now } from '../../stores/live.ts';
import { nameOf } from '../../stores/pizzas.ts';
import { tick } from '../../stores/plan.ts';
import { Cautions } from './cautions.tsx';

/** What the evening wants besides the fire: the pizza on the stone, the next one for the hands, the plan's next step. */
export function EveningLine(): JSX.Element | null {
  const document = now.value;
  if (!document) return null;
  const { plan, guides, prompt, cautions } = document;
  if (!plan && guides.length === 0 && !prompt && cautions.length === 0) return null;
  return (
    <section class="evening-line" aria-label="The evening">
      {guides.map((guide) => (
        <Guide key={guide.pizza} guide={guide} document={document} />
      ))}
      {document.prompt && <Prompt prompt={document.prompt} />}
      {plan && <NextStep plan={plan} />}
      <Cautions list={cautions.slice(0, 1)} />
    </section>
  );
}

type Guide = Now['guides'][number];

function Guide({ guide, document }: { guide: Guide; document: Now }): JSX.Element | null {
  const { warning, lesson, lookAt, say, byHand } = guide;
  const name = nameOf(document.pizzas.find((p) => p.id === guide.pizza));
  const t = cookTime.value ?? 0;
  const look = say === 'look' ? `Look at ${name} now.` : lookWords(name, lookAt, t);
  return (
    <div class={`evening-card ${warning ? 'warns' : ''}`} data-testid="guide">
      <p>
        {warning ? <strong>{warning.text}</strong> : look}
        {warning && ` ${warning.cure}`} <small>{byHand ? 'Times set by hand.' : lesson}</small>
      </p>
    </div>
  );
}

const lookWords = (name: string, lookAt: number | null, t: number): string =>
  lookAt === null || lookAt <= t
    ? `${name} is on the stone.`
    : `Look at ${name} in ${formatSpan(lookAt - t)}.`;

const NEXT = { ball: ['stretched', 'Stretched'], stretched: ['topped', 'On the peel'] } as const;

function Prompt({
  prompt: { pizza, text, say, stage },
}: {
  prompt: NonNullable<Now['prompt']>;
}): JSX.Element {
  const next = stage === 'topped' ? null : NEXT[stage];
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
