import type { JSX } from 'preact';
import { offers, takeBack, actionError } from '../../stores/act/acts.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

/** What went wrong, as one sentence; also inside panels, which lie over everything else. */
export const ErrorBar = ({ testid = 'trouble' }: { testid?: string }): JSX.Element | null =>
  actionError.value === null ? null : (
    <div class="toast bad" data-testid={testid}>
      <Icon name="warning" />
      <span>{actionError.value}</span>
      <Button
        onClick={() => {
          actionError.value = null;
        }}
      >
        <Icon name="close" /> Close
      </Button>
    </div>
  );

/** What was just done, with the way back. */
export const Toasts = (): JSX.Element => (
  <div class="toasts" role="status">
    <ErrorBar />
    {offers.value.map((offer) => (
      <div class="toast" key={offer.key}>
        <Icon name="check" />
        <span>{offer.label}</span>
        {offer.undo && (
          <Button data-testid="undo" onClick={() => void takeBack(offer)}>
            <Icon name="undo" /> Undo
          </Button>
        )}
      </div>
    ))}
  </div>
);
