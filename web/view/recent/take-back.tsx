import type { JSX } from 'preact';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { undoListed } from '../../stores/act/acts.ts';
import { now } from '../../stores/live.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

const WORDS: Partial<Record<string, string>> = {
  launch: 'Not launched yet',
  turn: 'Not turned yet',
  off: 'Not off yet',
};

/** Takes back what was said last of a pizza: a wrong tap is put right where it is noticed. */
export function TakeBack({ pizza }: { pizza: Pizza }): JSX.Element | null {
  const last = now.value?.events.findLast(
    (e) => e.pizza === pizza.id && !e.undone && WORDS[e.event] !== undefined,
  );
  return last ? (
    <Button look="plain" data-testid="take-back" onClick={() => void undoListed(last.id)}>
      <Icon name="undo" /> {WORDS[last.event]}
    </Button>
  ) : null;
}
