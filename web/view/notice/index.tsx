import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { AlertName } from '../../../shared/words.ts';
import { acknowledge, shelve, tellEvent, tellPizza } from '../../stores/acts.ts';
import { noticed, type Standing } from '../../stores/alerts.ts';
import { cookTime, now } from '../../stores/live.ts';
import { orderOf } from '../../stores/orders.ts';
import { onStone } from '../../stores/pizzas.ts';
import { viewOf } from '../../stores/say.ts';
import { unit } from '../../stores/settings.ts';
import { Icon, type IconName } from '../icon/index.tsx';
import { Trouble } from '../toast/index.tsx';
import { Lost } from '../lost/index.tsx';

const QUIET_MINUTES = 5;

type Look = { icon: IconName; order: string; did?: string };

/** The order in as few words as can be read from across a garden, and what the person then says was done. */
const LOOKS: Record<AlertName, Look> = {
  'stone-ready': { icon: 'go', order: 'Launch now', did: 'Launched' },
  'overshoot-ahead': { icon: 'closed', order: 'Close the vents', did: 'Vents set' },
  overshot: { icon: 'closed', order: 'Close the vents', did: 'Vents set' },
  'fire-fading': { icon: 'open', order: 'Fire fading', did: 'Vents set' },
  'turn-due': { icon: 'turn', order: 'Turn now', did: 'Turned' },
  'off-due': { icon: 'off', order: 'Off now', did: 'It is off' },
  'lid-left-open': { icon: 'lid', order: 'Close the lid', did: 'Lid closed' },
  'dome-too-hot': { icon: 'warning', order: 'Dome too hot', did: 'Vents set' },
  'probe-lost': { icon: 'doubt', order: 'Probe silent' },
  'probe-doubtful': { icon: 'doubt', order: 'Probe in doubt' },
};

const shown = computed(() => noticed(now.value?.alerts ?? []));

/** The alert that nobody has seen yet, over everything else, until someone says so on any screen. */
export function Notice(): JSX.Element | null {
  const alert = shown.value;
  return alert && <Shown key={alert.alert + (alert.pizza ?? '')} alert={alert} />;
}

async function report({ alert, pizza }: Standing): Promise<void> {
  const { did = '' } = LOOKS[alert];
  const first = now.value && onStone(now.value, cookTime.value ?? 0)[0];
  const id = pizza ?? first?.id ?? null;
  const done =
    alert === 'turn-due' || alert === 'off-due'
      ? await tellPizza(alert === 'turn-due' ? 'turn' : 'off', id, did)
      : await tellEvent(
          alert === 'lid-left-open' ? 'lid-closed' : alert === 'stone-ready' ? 'launch' : 'vent',
          did,
        );
  if (done) await acknowledge(alert);
}

/** In the person's unit; what the order itself says is not said twice. */
function wordsOf(alert: Standing): string {
  const document = now.value;
  if (!document) return alert.message;
  const { label, head, rest } = orderOf(viewOf(document, unit.value, cookTime.value ?? 0), alert);
  return label ? `${label} ${head}, ${rest}` : rest;
}

function Shown({ alert }: { alert: Standing }): JSX.Element {
  const element = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = element.current;
    dialog?.showModal();
    return () => dialog?.close();
  }, []);
  const { icon, order, did } = LOOKS[alert.alert];
  return (
    <dialog
      class={`notice ${alert.urgency}`}
      ref={element}
      role="alertdialog"
      aria-labelledby="notice-order"
      aria-describedby="notice-message"
      data-testid="notice"
      onCancel={(event) => event.preventDefault()}
    >
      {now.value?.rehearsal && <p class="notice-rehearsal">Rehearsal: a recording, not your fire</p>}
      <Lost testid="server-lost-panel" />
      <Trouble testid="trouble-panel" />
      <div class="notice-body">
        <Icon name={icon} size={160} />
        <h2 id="notice-order">{order}</h2>
        <p id="notice-message">{wordsOf(alert)}</p>
      </div>
      <div class="notice-acts">
        {did && (
          <button type="button" class="button" data-testid="notice-did" onClick={() => void report(alert)}>
            <Icon name="check" size={36} /> {did}
          </button>
        )}
        <button
          type="button"
          class="button seen"
          data-testid="acknowledge"
          autofocus
          onClick={() => void acknowledge(alert.alert)}
        >
          Seen
        </button>
        <button
          type="button"
          class="button"
          data-testid="shelve"
          onClick={() => void shelve(alert.alert, QUIET_MINUTES)}
        >
          <Icon name="quiet" size={30} /> Quiet for {QUIET_MINUTES} min
        </button>
      </div>
    </dialog>
  );
}
