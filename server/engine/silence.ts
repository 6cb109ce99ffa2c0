/** Silence is evaluated at the last input's t + 5, + 6, + 7 … s. */
const FIRST_SILENCE_SECONDS = 5;

/** An hour of nothing is as telling as a day of it; later instants are left out so that a jump of time is cheap. */
const MAX_SILENCE_SECONDS = 3600;

/** How many instants of silence have been evaluated since `heard`, and when that last input came; null before the first. */
export type Silence = { lastAt: number | null; done: number };

/**
 * The next instant of silence up to `t` that has not been evaluated yet, to be evaluated now; null: there is none. The
 * same whatever asks for it, a tick or the next reading, so that both give the same outputs.
 */
export function nextSilence(silence: Silence, t: number): number | null {
  const { lastAt, done } = silence;
  if (lastAt === null) return null;
  const at = lastAt + FIRST_SILENCE_SECONDS + done;
  if (at > Math.min(lastAt + MAX_SILENCE_SECONDS, t)) return null;
  silence.done += 1;
  return at;
}

export function hear(silence: Silence, t: number): void {
  silence.lastAt = t;
  silence.done = 0;
}
