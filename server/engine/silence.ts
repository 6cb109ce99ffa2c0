/** Silence is evaluated at the last input's t + 5, + 6, + 7 … s. */
const FIRST = 5;

/** An hour of nothing is as telling as a day of it; later instants are left out so that a jump of time is cheap. */
const LONGEST = 3600;

/** How many instants of silence have been evaluated since `heard`, and when that last input came; null before the first. */
export type Silence = { heard: number | null; done: number };

/**
 * Calls `evaluate` for each instant of silence up to `t` that has not been evaluated yet, whatever calls for it, a
 * tick or the next reading, so that both give the same outputs.
 */
export function passSilence(silence: Silence, t: number, evaluate: (at: number) => void): void {
  const { heard } = silence;
  if (heard === null) return;
  const last = Math.min(heard + LONGEST, t);
  for (let at = heard + FIRST + silence.done; at <= last; at = heard + FIRST + silence.done) {
    silence.done += 1;
    evaluate(at);
  }
}

export function hear(silence: Silence, t: number): void {
  silence.heard = t;
  silence.done = 0;
}
