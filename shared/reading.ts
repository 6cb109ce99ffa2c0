import type { Quality } from './words.ts';

/** A reading: what a channel was at a time, as good as `quality` says. */
export type Reading = {
  /** Seconds since the cook started. */
  t: number;
  channel: string;
  /** Degrees Celsius after conversion and calibration; null when there is no value (`quality` is then `bad`). */
  celsius: number | null;
  quality: Quality;
  /** Typed in by a person who looked, not sent by a probe. */
  isLook?: true;
  /** Why it is not `good`, in words for the person. */
  reason?: string;
};
