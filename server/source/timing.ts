/** Time as the sources need it, so that tests can turn the hands. */
export type Clock = {
  /** Milliseconds, never going back. */
  now(): number;
  /** @returns the off switch */
  after(ms: number, act: () => void): () => void;
};

export const systemClock: Clock = {
  now: () => performance.now(),
  after(ms, act) {
    const timer = setTimeout(act, ms);
    return () => clearTimeout(timer);
  },
};

/** Doubling from `first` to `most` ms, with ±20 % jitter so that several devices don't retry in step. */
export function backOff(failures: number, first: number, most: number, random: () => number): number {
  const wait = Math.min(most, first * 2 ** Math.min(failures, 20));
  return wait * (0.8 + 0.4 * random());
}
