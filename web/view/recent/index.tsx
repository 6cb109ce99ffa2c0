import type { JSX } from 'preact';
import type { LiveEvent } from '../../../shared/api/live.ts';
import { capital, formatName, formatTemperature, timeWriter } from '../../lib/format.ts';
import { undoListed } from '../../stores/act/later-acts.ts';
import { now } from '../../stores/live.ts';
import { unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
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

/** ": Stone 251 °C" */
function lookOf({ channel, celsius }: LiveEvent): string {
  if (channel === undefined || celsius === undefined) return '';
  const name = now.value?.channels.find(({ id }) => id === channel)?.name ?? channel;
  return `: ${name} ${formatTemperature(celsius, unit.value)}`;
}

function Row({ event: happened }: { event: LiveEvent }): JSX.Element {
  const { id, t, event, note, pizza, undone } = happened;
  const cook = now.value?.cook;
  const name = now.value?.pizzas.find((p) => p.id === pizza)?.name;
  return (
    <li class={undone ? 'undone' : ''}>
      <span class="recent-time">{cook ? timeWriter(cook)(t) : ''}</span>
      <span>
        {capital(formatName(event))}
        {name && ` ${name}`}
        {lookOf(happened)}
        {note && `: ${note}`}
      </span>
      {undone ? (
        <em>taken back</em>
      ) : (
        <Button data-testid="undo-event" onClick={() => void undoListed(id)}>
          <Icon name="undo" /> Undo
        </Button>
      )}
    </li>
  );
}
