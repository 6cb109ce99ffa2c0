import type { JSX } from 'preact';
import type { LiveEvent } from '../../../shared/api/live.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { formatAge } from '../../lib/format.ts';
import { earlier, undoListed } from '../../stores/act/later-acts.ts';
import { cookTime, now } from '../../stores/live.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

const WORDS: Partial<Record<string, { done: string; back: string }>> = {
  launch: { done: 'Launched', back: 'Not launched yet' },
  turn: { done: 'Turned', back: 'Not turned yet' },
  off: { done: 'Off', back: 'Not off yet' },
};

const lastOf = (pizza: Pizza): LiveEvent | undefined =>
  now.value?.events.findLast((e) => e.pizza === pizza.id && !e.undone && WORDS[e.event] !== undefined);

/** Takes back what was said last of a pizza: a wrong tap is put right where it is noticed. */
export function TakeBack({ pizza }: { pizza: Pizza }): JSX.Element | null {
  const last = lastOf(pizza);
  return last ? (
    <Button look="plain" data-testid="take-back" onClick={() => void undoListed(last.id)}>
      <Icon name="undo" /> {WORDS[last.event]?.back}
    </Button>
  ) : null;
}

const STEPS = [
  [30, '½ min earlier'],
  [60, '1 min earlier'],
  [180, '3 min earlier'],
] as const;

/** Who taps late says by how much: what is called from it is called in time. */
export function Earlier({ pizza }: { pizza: Pizza }): JSX.Element | null {
  const last = lastOf(pizza);
  if (!last) return null;
  return (
    <div data-testid="earlier">
      <p>
        {WORDS[last.event]?.done} {formatAge((cookTime.value ?? last.t) - last.t)} ago. Tapped late? It was
      </p>
      <div class="row pizza-acts">
        {STEPS.map(([seconds, words]) => (
          <Button key={seconds} onClick={() => void earlier(pizza.id, seconds)}>
            {words}
          </Button>
        ))}
      </div>
    </div>
  );
}
