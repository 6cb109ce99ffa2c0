import type { Now } from '../../../shared/api/live.ts';
import { callOf, ordering } from './calling-alerts.ts';
import type { Sentence } from './headline-sentence.ts';

/**
 * What people did, as text: where it changes the page answers at once. `answered` are the calls that somebody has seen,
 * `filled` is the one that last took the whole screen with an order, which counts as an answer.
 */
export type Cause = { text: string; answered: readonly string[]; filled: string | null; answers: number };

/**
 * A call that goes by itself is no answer: only one that is seen newly counts, and one that newly takes the whole screen,
 * since the sentence behind it must not order something else. Pure. @param cook which cook it is
 */
export function causeOf(
  before: Cause | null,
  { alerts, events, onStone, channels }: Now,
  cook: string | null,
): Cause {
  const answered = alerts
    .filter(({ state }) => state === 'acknowledged' || state === 'shelved')
    .map((alert) => `${callOf(alert)} ${alert.state}`);
  const isNew = answered.some((call) => before?.answered.includes(call) !== true);
  const first = ordering(alerts);
  const known = before?.filled ?? null;
  const filled = first ? callOf(first) : known;
  const answers = (before?.answers ?? 0) + Number(isNew || filled !== known);
  // A look is something that somebody did; so is a probe that speaks for the first time.
  const looks = channels.map(({ source, at }) => (source === 'spot' ? at : source));
  const undone = events.filter((event) => event.undone).length;
  // One that was only noticed has no id: its coming and going changes what is to be done as well.
  const lying = onStone.map(({ pizza, launchedAt }) => pizza ?? `noticed at ${launchedAt}`);
  const text = [cook, events.at(-1)?.id, undone, lying, answers, looks].join();
  return { text, answered, filled, answers };
}

/** What was known when a sentence came up, written for the time `t`, s of the cook. */
export type Write = (t: number) => Sentence;

/** A sentence as it stands: since when, and what had brought it there. */
export type Shown = { sentence: Sentence; since: number; cause: string; write: Write };

/** A sentence or message that does not press stays so long, s of the cook, so that nobody reads two that contradict each other. */
export const HOLD_SECONDS = 60;

/**
 * The sentence to show: the new one at once where it is urgent, where it asks for the same as the old one (the wait for a
 * launch is over, a turn has come due), or where somebody did something since; else once the old one has had its time. An
 * alert that asks for something else calls over the whole screen, and is answered there. What stands counts on: its wording is
 * held, not its clock. Pure.
 * @param write the new sentence
 * @param t seconds of the cook
 * @param cause what people did, as text
 */
export function hold(before: Shown | null, write: Write, t: number, cause: string): Shown {
  const sentence = write(t);
  if (before?.sentence.meaning === sentence.meaning && before.cause === cause)
    return { ...before, sentence, write };
  const isFree = !before || before.cause !== cause || t - before.since >= HOLD_SECONDS || t < before.since;
  const isPressing =
    sentence.tone === 'urgent' || sentence.tone === 'lost' || before?.sentence.tone === 'lost';
  const isSame = before?.sentence.head === sentence.head;
  if (!before || isFree || isPressing || isSame) return { sentence, since: t, cause, write };
  const held = before.write(t);
  return held.meaning === before.sentence.meaning ? { ...before, sentence: held } : before;
}
