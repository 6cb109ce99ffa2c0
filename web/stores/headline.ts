import { computed } from '@preact/signals';
import { timeWriter } from '../lib/format.ts';
import { distinctComputed } from '../lib/distinct-computed.ts';
import { causeOf, hold, type Cause, type Shown } from './derive/hold.ts';
import { messagesOf, slotOf, type Message, type Slot } from './derive/notices.ts';
import { spoken, viewOf, type Sentence } from './derive/headline-sentence.ts';
import { detail, sentence } from './derive/sentence.ts';
import type { Trend } from './derive/curve/direction.ts';
import { domeWords, ventsTrend, ventsWords } from './derive/vent-answer.ts';
import { cookKey, cookTime, lost, now } from './live.ts';
import { unit } from './settings.ts';

/** What the page says now, for as long as it has to stand. */

let done: Cause | null = null;
const cause = computed(() => {
  done = now.value && causeOf(done, now.value, cookKey.value);
  return done?.text ?? '';
});

let shown: Shown | null = null;
export const headline = distinctComputed(() => {
  const t = cookTime.value ?? 0;
  const [known, silence] = [now.value, lost.value];
  const write = (at: number): Sentence => sentence(known, unit.value, { t: at, lost: silence });
  shown = hold(shown, write, t, cause.value);
  return shown.sentence;
});

/** What goes before the lid stands in the sentence. */
export const lidIsFirst = computed(() => headline.value.first !== '');
const meaning = computed(() => headline.value.meaning);
/** Spoken only when it comes to mean something else: a screen reader that reads each degree is switched off. */
export const announced = computed(() => (meaning.value, spoken(headline.peek())));

let slot: Slot | null = null;
let answer: Trend | null = null;
/** What else wants to be read, the one in the slot first. */
export const messages = distinctComputed<Message[]>(() => {
  const document = now.value;
  if (!document?.cook || lost.value !== null) return [];
  const t = cookTime.value ?? 0;
  const write = timeWriter(document.cook);
  const view = viewOf(document, unit.value, t);
  answer = ventsTrend(view, answer);
  const watched = domeWords(view) ?? ventsWords(view, answer, write);
  const all = messagesOf(document, t, watched, detail(document, unit.value, t, write));
  slot = slotOf(slot, all, t);
  return [...all.filter(({ id }) => id === slot?.id), ...all.filter(({ id }) => id !== slot?.id)];
});
