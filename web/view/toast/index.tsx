import type { JSX } from 'preact';
import { offers, takeBack, trouble } from '../../stores/acts.ts';
import { Icon } from '../icon/index.tsx';

/** What went wrong, as one sentence; also inside panels, which lie over everything else. */
export const Trouble = ({ testid = 'trouble' }: { testid?: string }): JSX.Element | null =>
  trouble.value === null ? null : (
    <div class="toast bad" data-testid={testid}>
      <Icon name="warning" />
      <span>{trouble.value}</span>
      <button
        type="button"
        class="button"
        onClick={() => {
          trouble.value = null;
        }}
      >
        <Icon name="close" /> Close
      </button>
    </div>
  );

/** What was just done, with the way back. */
export const Toasts = (): JSX.Element => (
  <div class="toasts" role="status">
    <Trouble />
    {offers.value.map((one) => (
      <div class="toast" key={one.key}>
        <Icon name="check" />
        <span>{one.label}</span>
        {one.undo && (
          <button type="button" class="button" data-testid="undo" onClick={() => void takeBack(one)}>
            <Icon name="undo" /> Undo
          </button>
        )}
      </div>
    ))}
  </div>
);
