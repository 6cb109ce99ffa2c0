import { computed, type ReadonlySignal } from '@preact/signals';

/**
 * What a part of the screen shows, computed anew whenever something changes, but emitted only when it reads
 * otherwise: most messages change a number or two, and all else is not drawn again. Small plain values, since
 * they are compared as JSON.
 */
export function distinctComputed<Shown>(compute: () => Shown): ReadonlySignal<Shown> {
  let emitted: { shown: Shown; json: string } | null = null;
  return computed(() => {
    const shown = compute();
    const json = JSON.stringify(shown);
    if (emitted?.json !== json) emitted = { shown, json };
    return emitted.shown;
  });
}
