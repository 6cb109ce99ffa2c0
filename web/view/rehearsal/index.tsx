import { computed, useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { startCook } from '../../stores/act/acts.ts';
import { now } from '../../stores/live.ts';
import { Icon } from '../icon/index.tsx';
import { lazy } from '../shell/lazy.tsx';

const Steering = lazy(async () => (await import('./steering.tsx')).Steering, undefined, null);
const isDone = computed(() => now.value?.rehearsal?.isDone);

/** Says across the page that no real fire is watched, and steers the recording. */
export function Rehearsal(): JSX.Element | null {
  const isOpen = useSignal(false);
  if (isDone.value === undefined) return null;
  return (
    <section
      class={`rehearsal ${isOpen.value ? 'is-open' : ''}`}
      data-testid="rehearsal-banner"
      aria-label="Rehearsal"
    >
      <button
        type="button"
        class="button rehearsal-name"
        data-testid="rehearsal-steer"
        aria-expanded={isOpen.value}
        onClick={() => {
          isOpen.value = !isOpen.value;
        }}
      >
        <strong>REHEARSAL</strong>{' '}
        <span>{isDone.value ? 'your taps count, the fire is recorded' : 'a recording, not your fire'}</span>
        <Icon name={isOpen.value ? 'close' : 'settings'} />
      </button>
      <div class="rehearsal-steering">
        <Steering />
      </div>
      <button type="button" class="button real" data-testid="start-real" onClick={() => void startCook()}>
        <Icon name="flame" /> Start a real cook
      </button>
    </section>
  );
}
