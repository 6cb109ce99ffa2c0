import type { ComponentChildren, JSX } from 'preact';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

type Props = {
  isDone: boolean;
  isOpen: boolean;
  onSteer?: () => void;
  onReal?: () => void;
  children?: ComponentChildren;
};

/** Says across the page that no real fire is watched. It knows no store, since the server writes it too. */
export const RehearsalBar = ({ isDone, isOpen, onSteer, onReal, children }: Props): JSX.Element => (
  <section
    class={`rehearsal ${isOpen ? 'is-open' : ''}`}
    data-testid="rehearsal-banner"
    aria-label="Rehearsal"
  >
    <Button look="rehearsal-name" data-testid="rehearsal-steer" aria-expanded={isOpen} onClick={onSteer}>
      <strong>REHEARSAL</strong>{' '}
      <span>{isDone ? 'your taps count, the fire is recorded' : 'a recording, not your fire'}</span>
      <Icon name={isOpen ? 'close' : 'settings'} />
    </Button>
    <div class="rehearsal-steering">{children}</div>
    <Button look="real" data-testid="start-real" onClick={onReal}>
      <Icon name="flame" /> Start a real cook
    </Button>
  </section>
);
