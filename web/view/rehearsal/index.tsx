import { computed, useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { startCook } from '../../stores/act/acts.ts';
import { now } from '../../stores/live.ts';
import { lazy } from '../shell/lazy.tsx';
import { RehearsalBar } from './bar.tsx';

const Steering = lazy(async () => (await import('./steering.tsx')).Steering, undefined, null);
const isDone = computed(() => now.value?.rehearsal?.isDone);

/** A recording that is watched or done, and what steers it. */
export function Rehearsal(): JSX.Element | null {
  const isOpen = useSignal(false);
  if (isDone.value === undefined) return null;
  const steer = (): void => {
    isOpen.value = !isOpen.value;
  };
  return (
    <RehearsalBar isDone={isDone.value} isOpen={isOpen.value} onSteer={steer} onReal={() => void startCook()}>
      <Steering />
    </RehearsalBar>
  );
}
