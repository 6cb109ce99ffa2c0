import { batch, computed, signal, type ReadonlySignal } from '@preact/signals';
import type { LiveMessage, Now } from '../../shared/api/live.ts';
import { withTaps, type Unsent } from './derive/unsent-taps.ts';

/** The live document as last received, and how long ago that was. No DOM, no socket: `main.tsx` feeds it. */

/** Silence after which the page says that its numbers are old, s. */
export const LOST_AFTER_SECONDS = 4;

export const now = signal<Now | null>(null);
/** As the server has it, and the taps that it has not. */
let received: Now | null = null;
let waitingTaps: readonly Unsent[] = [];
/** The page's own monotonic clock, ms; moved on by `moveClock`. */
export const clock = signal(0);
const receivedAt = signal(0);
const updatedAt = signal(0);

export function applyMessage(before: Now | null, message: LiveMessage): Now | null {
  if (message.type === 'snapshot') return message.now;
  if (!before) return null;
  return message.type === 'change'
    ? { ...before, ...message.now }
    : { ...before, at: message.at, t: message.t };
}

/** Whoever leaves a rehearsal hears of it by a change: a snapshot that has it no more is of a server that began anew. */
export const endedWithServer = (before: Now | null, message: LiveMessage): boolean =>
  message.type === 'snapshot' && before?.rehearsal != null && message.now.cook === null;

export function receive(message: LiveMessage, monotonic: number): void {
  batch(() => {
    received = applyMessage(received, message);
    now.value = received && withTaps(received, waitingTaps);
    receivedAt.value = monotonic;
    updatedAt.value = monotonic;
    clock.value = monotonic;
  });
}

/** What is shown counts these as done. */
export function showTaps(taps: readonly Unsent[]): void {
  waitingTaps = taps;
  now.value = received && withTaps(received, taps);
}

export function startListening(monotonic: number): void {
  receivedAt.value = monotonic;
  clock.value = monotonic;
}

const isSilentAt = (monotonic: number): boolean => monotonic - receivedAt.peek() >= LOST_AFTER_SECONDS * 1000;

/**
 * Moves the clock on to each second of the cook, and to the moment when the silence is too long: no more is ever shown,
 * so that no more is drawn.
 * @param slept ms that the wall clock ran ahead of the monotonic one since the last tick: the device was
 * asleep
 */
export function moveClock(monotonic: number, slept: number): void {
  if (slept > LOST_AFTER_SECONDS * 1000) receivedAt.value -= slept;
  const shown = Math.floor(cookTime.peek() ?? -1);
  const isNext = monotonic - clock.peek() >= 1000 || Math.floor(timeAt(monotonic) ?? -1) !== shown;
  const isLost = isSilentAt(monotonic) && !isSilentAt(clock.peek());
  if (isNext || isLost || slept > 0) clock.value = monotonic;
}

/** Whole seconds of silence once it is too long, else null. */
export const lost = computed<number | null>(() => {
  const silence = Math.floor((clock.value - receivedAt.value) / 1000);
  return silence >= LOST_AFTER_SECONDS ? silence : null;
});

/** Whether something came that this page does not understand: the server was updated. */
export const outdated = signal(false);

/** One member of the document: a message that leaves it as it was tells nobody of it. */
export const member = <Key extends keyof Now>(key: Key): ReadonlySignal<Now[Key] | undefined> =>
  computed(() => now.value?.[key]);

const sinceUpdate = computed(() => Math.max(0, (clock.value - updatedAt.value) / 1000));

/** Seconds of the cook, counted on between messages; null with no cook. */
export const cookTime = computed<number | null>(() => {
  const document = now.value;
  return document?.t == null ? null : document.t + document.rate * sinceUpdate.value;
});
/** A cook that is so much further on than was due was played on without its readings having come: a recording, s. */
const LEAP_SECONDS = 60;

/** @param due the time of the cook as it was counted on here before the message, s */
export const hasLeapt = (due: number | null, { t, rate }: Pick<Now, 't' | 'rate'>): boolean =>
  due !== null && t !== null && t - due > LEAP_SECONDS + 2 * rate;

/** How many looks of the cook were taken back. */
export const looksTakenBack = (): number =>
  now.peek()?.events.filter(({ event, undone }) => event === 'look' && undone).length ?? 0;

const timeAt = (monotonic: number): number | null => {
  const document = now.peek();
  return document?.t == null ? null : document.t + (document.rate * (monotonic - updatedAt.peek())) / 1000;
};

/** Real seconds since the document was updated, none while a rehearsal is paused. */
export const elapsed = computed(() => sinceUpdate.value * Math.min(1, now.value?.rate ?? 1));

export const hasCook = computed(() => now.value?.cook != null);
export const cookId = computed(() => now.value?.cook?.id ?? null);
/** A cook that starts over under the same number is another one: a rehearsal that was sought back. */
export const cookKey = computed(() => {
  const cook = now.value?.cook;
  return cook ? `${cook.id} ${cook.startedAt}` : null;
});
