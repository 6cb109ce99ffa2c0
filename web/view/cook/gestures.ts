import { panBy, pinch, zoomAbout, type Range } from '../../stores/derive/curve/zoom.ts';

/**
 * Turns pointers and the wheel over a plot into looks at another part of it and moves of the cursor. A tap or the mouse
 * puts the cursor there, a drag that takes hold of it moves it, any other drag moves the curve, two fingers zoom, and
 * a tap done twice shows all.
 */

type Area = { left: number; width: number };
type Places = {
  /** The plotting area, CSS pixels from the element's left. */
  area(): Area;
  all(): Range;
  /** What is seen, and how it comes to be another. */
  range(): Range;
  look(next: Range): void;
  /** Where the cursor is, and how it is moved, s. */
  cursor(): number | null;
  point(t: number): void;
  /** A tap, CSS pixels from the element's left and top. @returns the time that it means, where that is not the place itself */
  tapped(x: number, y: number): number | null;
};
/** A finger on the plot: where it is now, the time that it took hold of, and where it came down. */
type Finger = { share: number; t: number; x: number; y: number; holdsCursor: boolean; hasMoved: boolean };

/** A finger is so wide, CSS pixels. */
const GRIP_PX = 26;
/** Less than this is a tap, CSS pixels. */
const TAP_SLOP_PX = 7;
/** Two taps within this are one thing, ms. */
const DOUBLE_TAP_MS = 350;

/** @returns the way to stop */
export function handleGestures(element: HTMLElement, places: Places): () => void {
  const { area, all, range, look, cursor, point, tapped } = places;
  const fingers = new Map<number, Finger>();
  /** Where the mouse last clicked: until it has left the place, the cursor stays. */
  let pinned: { x: number; y: number } | null = null;
  let lastTap = { at: -Infinity, x: 0 };

  const placeOf = (event: MouseEvent): { x: number; y: number; share: number } => {
    const { left: edge, top } = element.getBoundingClientRect();
    const { left, width } = area();
    const x = event.clientX - edge;
    return { x, y: event.clientY - top, share: (x - left) / Math.max(1, width) };
  };
  const timeAt = (share: number): number => range().from + share * (range().to - range().from);
  const isOnCursor = (share: number): boolean => {
    const { from, to } = range();
    const t = cursor();
    if (t === null) return false;
    return Math.abs((t - from) / (to - from) - share) * area().width < GRIP_PX;
  };

  const down = (event: PointerEvent): void => {
    element.setPointerCapture(event.pointerId);
    const { x, y, share } = placeOf(event);
    const holdsCursor = fingers.size === 0 && event.pointerType !== 'mouse' && isOnCursor(share);
    fingers.set(event.pointerId, { share, t: timeAt(share), x, y, holdsCursor, hasMoved: false });
  };
  const hover = (event: PointerEvent): void => {
    const { x, y, share } = placeOf(event);
    if (event.pointerType !== 'mouse' || share < 0 || share > 1) return;
    if (pinned && Math.hypot(x - pinned.x, y - pinned.y) < GRIP_PX) return;
    pinned = null;
    point(timeAt(share));
  };
  const move = (event: PointerEvent): void => {
    const finger = fingers.get(event.pointerId);
    if (!finger) return hover(event);
    const before = finger.share;
    const { x, y, share } = placeOf(event);
    if (!finger.hasMoved && Math.hypot(x - finger.x, y - finger.y) < TAP_SLOP_PX) return;
    finger.hasMoved = true;
    finger.share = share;
    const [first, second] = [...fingers.values()].sort((a, b) => a.share - b.share);
    if (first && second) look(pinch([first.t, second.t], [first.share, second.share], all()));
    else if (finger.holdsCursor) point(timeAt(Math.min(1, Math.max(0, share))));
    else look(panBy(range(), before - share, all()));
  };
  const up = (event: PointerEvent): void => {
    const finger = fingers.get(event.pointerId);
    fingers.delete(event.pointerId);
    for (const other of fingers.values()) other.t = timeAt(other.share);
    if (finger && !finger.hasMoved && fingers.size === 0) tap(event, finger);
  };
  const tap = (event: PointerEvent, { x, y, share }: Finger): void => {
    if (event.timeStamp - lastTap.at < DOUBLE_TAP_MS && Math.abs(x - lastTap.x) < GRIP_PX) {
      lastTap = { at: -Infinity, x };
      return look(all());
    }
    lastTap = { at: event.timeStamp, x };
    pinned = { x, y };
    const meant = tapped(x, y);
    if (meant !== null) point(meant);
    else if (share >= 0 && share <= 1) point(timeAt(share));
  };
  const cancel = (event: PointerEvent): void => void fingers.delete(event.pointerId);
  const wheel = (event: WheelEvent): void => {
    event.preventDefault();
    if (Math.abs(event.deltaX) > Math.abs(event.deltaY))
      return look(panBy(range(), event.deltaX / 600, all()));
    look(zoomAbout(range(), timeAt(placeOf(event).share), Math.exp(event.deltaY / 400), all()));
  };
  const stop = new AbortController();
  const { signal } = stop;
  element.addEventListener('pointerdown', down, { signal });
  element.addEventListener('pointermove', move, { signal });
  element.addEventListener('pointerup', up, { signal });
  element.addEventListener('pointercancel', cancel, { signal });
  element.addEventListener('wheel', wheel, { passive: false, signal });
  return () => stop.abort();
}
