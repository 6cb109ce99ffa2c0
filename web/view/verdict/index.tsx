import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { VERDICTS, type Verdict } from '../../../shared/words.ts';
import { capital } from '../../lib/format.ts';
import { changePizza } from '../../stores/act/acts.ts';
import { isPressing } from '../../stores/derive/calling-alerts.ts';
import { nameOf } from '../../stores/derive/pizza-countdowns.ts';
import { now } from '../../stores/live.ts';
import { judging } from '../../stores/screen.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { PizzaMark } from '../pizza-mark/index.tsx';
import { useModal } from '../sheet/modal.ts';
import { QUESTION_REST_MS, useRest } from '../sheet/use-rest.ts';
import { TakeBack } from '../recent/take-back.tsx';
import { ErrorBar } from '../toast/index.tsx';

const pizza = computed(
  () =>
    judging.value
      .map((id) => now.value?.pizzas.find((p) => p.id === id))
      .find((p) => p && p.offAt !== null && (p.base === null || p.top === null)) ?? null,
);

/** Nothing is asked over a call, nor over a turn or an off that was seen and is not done; a launch that was seen can wait. */
const mayAsk = computed(() => !isPressing(now.value?.alerts ?? []));

/** Asked while the pizza is looked at: two taps, or none. */
export const VerdictAsk = (): JSX.Element | null =>
  !pizza.value || !mayAsk.value ? null : <Shown key={pizza.value.id} pizza={pizza.value} />;

const BROWNING: Record<Verdict, number> = { pale: 0.25, right: 0.8, scorched: 1.25 };

function Shown({ pizza }: { pizza: Pizza }): JSX.Element {
  const { id, name, base, top } = pizza;
  const close = (): void => {
    judging.value = judging.value.filter((other) => other !== id);
  };
  const rate = (side: 'base' | 'top', verdict: Verdict): void => {
    const isLast = (side === 'base' ? top : base) !== null;
    void changePizza(id, { [side]: verdict }).then((saved) => saved !== null && isLast && close());
  };
  const modal = useModal(close);
  const isResting = useRest(QUESTION_REST_MS, modal.ref);
  return (
    <dialog class="verdict" {...modal} aria-labelledby="verdict-title" data-testid="verdict">
      <ErrorBar testid="trouble-panel" />
      {now.value?.rehearsal && <p class="notice-rehearsal">Rehearsal: a recording, not your fire</p>}
      <h2 id="verdict-title">
        How is <span dir="auto">{nameOf({ name })}</span>?
      </h2>
      {(['base', 'top'] as const).map((side) => (
        <div class="verdict-row" role="group" aria-label={capital(side)} inert={isResting} key={side}>
          <h3>{capital(side)}</h3>
          {VERDICTS.map((verdict) => (
            <Button
              key={verdict}
              aria-pressed={(side === 'base' ? base : top) === verdict}
              data-testid={`judge-${side}-${verdict}`}
              onClick={() => rate(side, verdict)}
            >
              <PizzaMark brown={BROWNING[verdict]} size={44} /> {capital(verdict)}
            </Button>
          ))}
        </div>
      ))}
      <div class="row" inert={isResting}>
        <Button data-testid="verdict-skip" autofocus onClick={close}>
          <Icon name="close" /> Not now
        </Button>
        <TakeBack pizza={pizza} />
      </div>
    </dialog>
  );
}
