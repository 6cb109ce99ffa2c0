import type { JSX } from 'preact';
import { rehearse, startCook } from '../../stores/act/acts.ts';
import { now } from '../../stores/live.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

const watch = (): void => void rehearse({ do: 'start', skip: true });
const practise = (): void => void rehearse({ do: 'start', skip: true, isDone: true, pace: 5 });

/** Where nothing is going on: what this is, and four ways to begin. */
export function Start(): JSX.Element | null {
  if (!now.value || now.value.cook) return null;
  return (
    <section class="start" aria-label="How to begin">
      <h1 data-testid="sentence">Every pizza onto a stone that is right for it, and off in time.</h1>
      <div class="ways">
        <div class="start-choice">
          <Icon name="play" size={40} />
          <strong>Watch a rehearsal</strong>
          <span>
            A recorded evening, played fast, from shortly before its first pizza. Nothing in it is real.
          </span>
          <span class="row">
            <Button look="strong" data-testid="watch" onClick={watch}>
              Watch
            </Button>
            <Button data-testid="practise" onClick={practise}>
              Do it yourself
            </Button>
          </span>
        </div>
        <a class="start-choice" href="#/probes">
          <Icon name="probe" size={40} />
          <strong>Connect a thermometer</strong>
          <span>Bluetooth, serial or over the network: what is in reach appears by itself.</span>
        </a>
        <a class="start-choice" href="#/plan">
          <Icon name="list" size={40} />
          <strong>Plan an evening</strong>
          <span>Dough and fire, worked back from when you want to eat.</span>
        </a>
        <button type="button" class="start-choice" data-testid="start-real" onClick={() => void startCook()}>
          <Icon name="spot" size={40} />
          <strong>Begin with readings typed in</strong>
          <span>Light the fire, outdoors and away from all that burns; look at the stone now and then.</span>
        </button>
      </div>
    </section>
  );
}
