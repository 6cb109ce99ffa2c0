import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { formatElapsed } from '../../lib/format.ts';
import { steady } from '../../lib/steady.ts';
import { rehearse, startCook } from '../../stores/acts.ts';
import { now } from '../../stores/live.ts';
import { Icon } from '../icon/index.tsx';

const PACES = [1, 5, 20, 60, 200] as const;

const playing = steady(() => {
  const { paused = false, ended = false, pace = 1, length = 0 } = now.value?.rehearsal ?? {};
  return now.value?.rehearsal ? { paused, ended, pace, length } : null;
});
const place = steady(() => Math.floor(now.value?.rehearsal?.t ?? 0));

/** Says across the page that no real fire is watched, and steers the recording. */
export function Rehearsal(): JSX.Element | null {
  if (!playing.value) return null;
  const { paused, ended, pace } = playing.value;
  return (
    <section class="rehearsal" data-testid="rehearsal-banner" aria-label="Rehearsal">
      <p>
        <strong>REHEARSAL</strong> <span>a recording, not your fire</span>
      </p>
      <PlayPause paused={paused} ended={ended} />
      <Pace pace={pace} />
      <Seek />
      <button type="button" class="button real" data-testid="start-real" onClick={() => void startCook()}>
        <Icon name="flame" /> Start a real cook
      </button>
    </section>
  );
}

function PlayPause({ paused, ended }: { paused: boolean; ended: boolean }): JSX.Element {
  if (ended)
    return (
      <button type="button" class="button" onClick={() => void rehearse({ do: 'start' })}>
        <Icon name="play" /> Again
      </button>
    );
  return (
    <button type="button" class="button" onClick={() => void rehearse({ do: paused ? 'resume' : 'pause' })}>
      <Icon name={paused ? 'play' : 'pause'} /> {paused ? 'Play' : 'Pause'}
    </button>
  );
}

function Pace({ pace }: { pace: number }): JSX.Element {
  const paces = [...new Set([...PACES, pace])].sort((a, b) => a - b);
  return (
    <label class="pace">
      Pace
      <select
        value={pace}
        onChange={(event) => void rehearse({ do: 'pace', pace: Number(event.currentTarget.value) })}
      >
        {paces.map((one) => (
          <option key={one} value={one} selected={one === pace}>
            {one}×
          </option>
        ))}
      </select>
    </label>
  );
}

function Seek(): JSX.Element {
  const held = useSignal<number | null>(null);
  const at = held.value ?? place.value;
  const length = playing.value?.length ?? 0;
  const seek = async (to: number): Promise<void> => {
    await rehearse({ do: 'seek', t: to });
    held.value = null;
  };
  return (
    <label class="seek">
      <span>{formatElapsed(at)}</span>
      <input
        type="range"
        aria-label="Place in the recording"
        min={0}
        max={Math.ceil(length)}
        step={30}
        value={at}
        aria-valuetext={formatElapsed(at)}
        onInput={(event) => {
          held.value = Number(event.currentTarget.value);
        }}
        onChange={(event) => void seek(Number(event.currentTarget.value))}
      />
      <span>{formatElapsed(length)}</span>
    </label>
  );
}
