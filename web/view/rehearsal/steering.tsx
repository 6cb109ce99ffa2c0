import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { formatElapsed } from '../../lib/format.ts';
import { distinctComputed } from '../../lib/distinct-computed.ts';
import { rehearse } from '../../stores/act/acts.ts';
import { now } from '../../stores/live.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';

const PACES = [1, 5, 20, 60, 200] as const;

const playing = distinctComputed(() => {
  const {
    paused = false,
    ended = false,
    pace = 1,
    length = 0,
    marks = [],
    isDone = false,
  } = now.value?.rehearsal ?? {};
  return now.value?.rehearsal ? { paused, ended, pace, length, marks, isDone } : null;
});
const place = distinctComputed(() => Math.floor(now.value?.rehearsal?.t ?? 0));

/** Plays, holds and moves the recording. */
export function Steering(): JSX.Element | null {
  if (!playing.value) return null;
  const { paused, ended, pace } = playing.value;
  return (
    <>
      <PlayPause paused={paused} ended={ended} />
      <Pace pace={pace} />
      <Seek />
      <Marks />
    </>
  );
}

function PlayPause({ paused, ended }: { paused: boolean; ended: boolean }): JSX.Element {
  if (ended)
    return (
      <Button
        onClick={() => void rehearse({ do: 'start', skip: true, isDone: playing.value?.isDone ?? false })}
      >
        <Icon name="play" /> Again
      </Button>
    );
  return (
    <Button onClick={() => void rehearse({ do: paused ? 'resume' : 'pause' })}>
      <Icon name={paused ? 'play' : 'pause'} /> {paused ? 'Play' : 'Pause'}
    </Button>
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
        {paces.map((multiple) => (
          <option key={multiple} value={multiple} selected={multiple === pace}>
            {multiple}×
          </option>
        ))}
      </select>
    </label>
  );
}

/** Moments worth a jump. */
function Marks(): JSX.Element | null {
  const marks = playing.value?.marks ?? [];
  if (marks.length === 0) return null;
  return (
    <label>
      <span class="visually-hidden">Jump to</span>
      <select
        value=""
        data-testid="rehearsal-jump"
        onChange={(event) => {
          if (event.currentTarget.value) void rehearse({ do: 'seek', t: Number(event.currentTarget.value) });
          event.currentTarget.value = '';
        }}
      >
        <option value="">Jump to …</option>
        {marks.map(({ t, label }) => (
          <option key={t} value={t}>
            {formatElapsed(t)} {label}
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
