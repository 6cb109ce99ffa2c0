import { useSignal } from '@preact/signals';
import type { RefObject } from 'preact';
import { useEffect } from 'preact/hooks';

/** A question comes up where a finger may be falling a second time: longer than two taps that were meant as one, ms. */
export const QUESTION_REST_MS = 600;

/**
 * Whether the keys of what has only just come up still rest: it lies over the action bar or over another that was answered, and
 * a finger that falls means what lay there before.
 * Then the focus goes to the key that is marked by `autofocus`.
 * @param ms how long they rest
 */
export function useRest(ms: number, dialog: RefObject<HTMLElement | null>): boolean {
  const isResting = useSignal(true);
  useEffect(() => {
    const timer = setTimeout(() => {
      isResting.value = false;
    }, ms);
    return () => clearTimeout(timer);
  }, []);
  useEffect(() => {
    if (!isResting.value) dialog.current?.querySelector<HTMLElement>('[autofocus]')?.focus();
  }, [isResting.value]);
  return isResting.value;
}
