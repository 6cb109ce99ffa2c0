import type { JSX } from 'preact';
import type { LiveEvent } from '../../../shared/api/live.ts';
import { capital, formatName, timeWriter } from '../../lib/format.ts';
import { undoListed } from '../../stores/act/acts.ts';
import { now } from '../../stores/live.ts';
import { Icon } from '../icon/index.tsx';
import { Sheet } from '../sheet/index.tsx';

export function RecentSheet(): JSX.Element {
  const events = [...(now.value?.events ?? [])].reverse();
  return (
    <Sheet title="What happened">
      {events.length === 0 && <p>Nothing yet.</p>}
      <ol class="recent">
        {events.map((event) => (
          <Row key={event.id} event={event} />
        ))}
      </ol>
    </Sheet>
  );
}

function Row({ event: { id, t, event, note, pizza, undone } }: { event: LiveEvent }): JSX.Element {
  const cook = now.value?.cook;
  const name = now.value?.pizzas.find((p) => p.id === pizza)?.name;
  return (
    <li class={undone ? 'undone' : ''}>
      <span class="recent-time">{cook ? timeWriter(cook)(t) : ''}</span>
      <span>
        {capital(formatName(event))}
        {name && ` ${name}`}
        {note && `: ${note}`}
      </span>
      {undone ? (
        <em>taken back</em>
      ) : (
        <button type="button" class="button" data-testid="undo-event" onClick={() => void undoListed(id)}>
          <Icon name="undo" /> Undo
        </button>
      )}
    </li>
  );
}
