import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { DeletedCook } from '../../../shared/api/api.ts';
import { formatDay } from '../../lib/format.ts';
import { bringBack, deletedCooks, loadDeleted } from '../../stores/past.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

/** What was deleted and can still be brought back. */
export function Deleted(): JSX.Element | null {
  useEffect(() => void loadDeleted(), []);
  const list = deletedCooks.value;
  if (list.length === 0) return null;
  return (
    <details class="deleted" data-testid="deleted">
      <summary>Deleted: {list.length}, each stays for 30 days</summary>
      <ul class="cooks">
        {list.map((cook) => (
          <Row key={cook.id} cook={cook} />
        ))}
      </ul>
    </details>
  );
}

const Row = ({ cook }: { cook: DeletedCook }): JSX.Element => (
  <li class="cook-row">
    <span class="cook-words">
      <strong>{cook.name || 'A cook'}</strong>
      <span>
        {formatDay(Date.parse(cook.startedAt))} · deleted on {formatDay(Date.parse(cook.goneAt))}
      </span>
    </span>
    <Button data-testid="bring-back" onClick={() => void bringBack(cook.id)}>
      <Icon name="undo" /> Bring back
    </Button>
  </li>
);
