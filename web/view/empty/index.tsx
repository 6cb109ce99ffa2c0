import type { JSX } from 'preact';
import { rehearse, startCook } from '../../stores/acts.ts';
import { now } from '../../stores/live.ts';
import { sheet } from '../../stores/screen.ts';
import { Icon } from '../icon/index.tsx';

/** What to do when nothing is going on. */
export function Empty(): JSX.Element | null {
  if (!now.value || now.value.cook) return null;
  return (
    <section class="empty" aria-label="How to begin">
      <button type="button" class="way" data-testid="start-real" onClick={() => void startCook()}>
        <Icon name="flame" size={44} />
        <strong>Start a cook</strong>
        <span>Light the fire and tap here: from now on everything is kept.</span>
      </button>
      <a class="way" href="#/probes">
        <Icon name="probe" size={44} />
        <strong>Connect a thermometer</strong>
        <span>Bluetooth or serial: what is in reach appears by itself.</span>
      </a>
      <a class="way" href="#/plan">
        <Icon name="list" size={44} />
        <strong>Plan the evening</strong>
        <span>Dough and fire, worked back from when you want to eat.</span>
      </a>
      <button
        type="button"
        class="way"
        onClick={() => {
          sheet.value = { kind: 'spot' };
        }}
      >
        <Icon name="spot" size={44} />
        <strong>Type a reading</strong>
        <span>No probe? An infrared thermometer and your finger will do.</span>
      </button>
      <button type="button" class="way" onClick={() => void rehearse({ do: 'start' })}>
        <Icon name="play" size={44} />
        <strong>Watch a rehearsal</strong>
        <span>A recorded evening, played fast, to see what this does.</span>
      </button>
      <p>Any program or board may also send readings over HTTP: see the README.</p>
    </section>
  );
}
