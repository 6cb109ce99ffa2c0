/** The part of a cook that is looked at, s. Pure. */
export type Range = { from: number; to: number };

/** The shortest stretch worth looking at, s. */
const MIN_SPAN_SECONDS = 60;

/** Keeps a range inside `all`, no shorter than a minute where there is one. */
export function within({ from, to }: Range, all: Range): Range {
  const length = Math.min(all.to - all.from, Math.max(MIN_SPAN_SECONDS, to - from));
  const start = Math.min(Math.max(all.from, from), all.to - length);
  return { from: start, to: start + length };
}

/** @param factor below 1 looks closer. @param at time that stays where it is */
export const zoomAbout = ({ from, to }: Range, at: number, factor: number, all: Range): Range => {
  const length = Math.min(all.to - all.from, Math.max(MIN_SPAN_SECONDS, (to - from) * factor));
  const share = (at - from) / Math.max(1e-9, to - from);
  return within({ from: at - share * length, to: at + (1 - share) * length }, all);
};

/** Moves by a part of what is seen: 0.5 is half a screen onward. */
export const panBy = ({ from, to }: Range, share: number, all: Range): Range => {
  const shift = share * (to - from);
  return within({ from: from + shift, to: to + shift }, all);
};

/** The range that brings the two times of a pinch back under the two fingers. Positions are shares 0 … 1 of the width. */
export function pinch(
  held: readonly [number, number],
  fingers: readonly [number, number],
  all: Range,
): Range {
  const apart = Math.max(0.02, fingers[1] - fingers[0]);
  const length = (held[1] - held[0]) / apart;
  const from = held[0] - fingers[0] * length;
  return within({ from, to: from + length }, all);
}

/** What of the window on a strip of the whole is held: all of it, or an end. */
export type Grip = 'whole' | 'from' | 'to';

/** Moves what is held by `by` s; an end never passes the other. */
export function dragWindow({ from, to }: Range, grip: Grip, by: number, all: Range): Range {
  if (grip === 'from')
    return within({ from: Math.min(Math.max(all.from, from + by), to - MIN_SPAN_SECONDS), to }, all);
  if (grip === 'to')
    return within({ from, to: Math.max(Math.min(all.to, to + by), from + MIN_SPAN_SECONDS) }, all);
  return within({ from: from + by, to: to + by }, all);
}

/** Times worth a tick, on the clock's full minutes. @param offset seconds past a full hour at t = 0 */
export function timeTicks({ from, to }: Range, most: number, offset: number): number[] {
  const steps = [60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 21_600];
  const step = steps.find((s) => (to - from) / s <= most) ?? 43_200;
  const first = Math.ceil((from + offset) / step) * step - offset;
  const ticks: number[] = [];
  for (let t = first; t <= to; t += step) ticks.push(t);
  return ticks;
}
