import type { Sentence } from './headline-sentence.ts';

/** A sentence as it stands: since when, and what had brought it there. */
export type Shown = { sentence: Sentence; since: number; cause: string };

/** A sentence or message that does not press stays so long, s of the cook, so that nobody reads two that contradict each other. */
export const HOLD_SECONDS = 60;

/**
 * The sentence to show: the new one at once where it is urgent, where it means what the old one meant, or where
 * something was done or called since; else once the old one has had its time. Pure.
 * @param t seconds of the cook
 * @param cause what people did and alerts called for, as text: where it changes the page answers at once
 */
export function hold(before: Shown | null, sentence: Sentence, t: number, cause: string): Shown {
  if (before?.sentence.meaning === sentence.meaning && before.cause === cause) return { ...before, sentence };
  const isFree = !before || before.cause !== cause || t - before.since >= HOLD_SECONDS || t < before.since;
  const isPressing =
    sentence.tone === 'urgent' || sentence.tone === 'lost' || before?.sentence.tone === 'lost';
  return isFree || isPressing ? { sentence, since: t, cause } : before;
}
