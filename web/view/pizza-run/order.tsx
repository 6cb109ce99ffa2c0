import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { orderRun, proposedRun, type Proposed } from '../../stores/act/acts.ts';
import { Button } from '../button/index.tsx';

/** A better order of the waiting pizzas, and why this one would stand where it does. */
export function BetterOrder({ id }: { id: string }): JSX.Element | null {
  const better = useSignal<Proposed['order']>([]);
  const ask = async (): Promise<void> => {
    better.value = (await proposedRun())?.order ?? [];
  };
  useEffect(() => void ask(), []);
  const place = better.value.findIndex((pizza) => pizza.id === id);
  const proposal = better.value[place];
  if (!proposal || better.value.length < 2) return null;
  return (
    <div class="row pizza-acts">
      <Button data-testid="order-run" onClick={() => void orderRun(better.value.map((pizza) => pizza.id))}>
        Order all by taste and stone
      </Button>
      <p>
        This one would be number {place + 1} of those that wait. {proposal.reason}
      </p>
    </div>
  );
}
