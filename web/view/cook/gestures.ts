import { look, range } from '../../stores/past.ts';
import { panBy, pinch, zoomAbout, type Range } from '../../stores/zoom.ts';

/** Turns pointers and the wheel over a plot into looks at another part of it. */

type Area = { left: number; width: number };
/** A finger on the plot: where it is now, and the time that it took hold of. */
type Finger = { share: number; t: number };

/** @param area the plotting area, CSS pixels from the element's left. @returns the way to stop */
export function handleGestures(element: HTMLElement, area: () => Area, all: Range): () => void {
  const fingers = new Map<number, Finger>();
  const shareOf = (event: MouseEvent): number => {
    const { left, width } = area();
    return (event.clientX - element.getBoundingClientRect().left - left) / Math.max(1, width);
  };
  const timeAt = (share: number): number => range.value.from + share * (range.value.to - range.value.from);
  const down = (event: PointerEvent): void => {
    element.setPointerCapture(event.pointerId);
    const share = shareOf(event);
    fingers.set(event.pointerId, { share, t: timeAt(share) });
  };
  const move = (event: PointerEvent): void => {
    const finger = fingers.get(event.pointerId);
    if (!finger) return;
    const before = finger.share;
    finger.share = shareOf(event);
    const [one, two] = [...fingers.values()].sort((a, b) => a.share - b.share);
    if (one && two) look(pinch([one.t, two.t], [one.share, two.share], all));
    else look(panBy(range.value, before - finger.share, all));
  };
  const up = (event: PointerEvent): void => {
    fingers.delete(event.pointerId);
    for (const finger of fingers.values()) finger.t = timeAt(finger.share);
  };
  const wheel = (event: WheelEvent): void => {
    event.preventDefault();
    if (Math.abs(event.deltaX) > Math.abs(event.deltaY))
      return look(panBy(range.value, event.deltaX / 600, all));
    look(zoomAbout(range.value, timeAt(shareOf(event)), Math.exp(event.deltaY / 400), all));
  };
  element.addEventListener('pointerdown', down);
  element.addEventListener('pointermove', move);
  element.addEventListener('pointerup', up);
  element.addEventListener('pointercancel', up);
  element.addEventListener('wheel', wheel, { passive: false });
  return () => {
    element.removeEventListener('pointerdown', down);
    element.removeEventListener('pointermove', move);
    element.removeEventListener('pointerup', up);
    element.removeEventListener('pointercancel', up);
    element.removeEventListener('wheel', wheel);
  };
}
