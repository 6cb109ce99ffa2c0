import { computed, type ReadonlySignal } from '@preact/signals';

/**
 * What a part of the screen shows, worked out anew whenever something changes, but told on only when it reads otherwise:
 * most messages change a number or two, and all else is not drawn again. Small plain values, since they are compared
 * as JSON.
 */
export function steady<Shown>(work: () => Shown): ReadonlySignal<Shown> {
  let told: { shown: Shown; json: string } | null = null;
  return computed(() => {
    const shown = work();
    const json = JSON.stringify(shown);
    if (told?.json !== json) told = { shown, json };
    return told.shown;
  });
}
