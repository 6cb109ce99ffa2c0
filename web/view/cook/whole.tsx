import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { CookDetail } from '../../../shared/api/api.ts';
import { createPlot, type Plot } from '../../lib/plot/plot.ts';
import { painted } from '../../lib/theme.ts';
import { look, openedEstimates, range, wholeCurves, wholeRange } from '../../stores/past.ts';
import { cookScene } from '../../stores/derive/curve/curve-scene.ts';
import { unit } from '../../stores/settings.ts';
import { dragWindow, within, type Grip } from '../../stores/derive/curve/zoom.ts';

/** How far from an end of the window a finger takes hold of it, CSS pixels. */
const END_GRIP_PX = 18;
const VIEW_WIDTH = 800;

/** All of the cook, small, and the window on it that is seen large: drag it, or tap where it is to be. */
export function Whole({ cook }: { cook: CookDetail }): JSX.Element {
  const element = useRef<HTMLDivElement>(null);
  usePlainPlot(element, cook);
  const held = useRef<{ grip: Grip; x: number } | null>(null);
  const all = wholeRange(cook);
  const { from, to } = range.value;
  const percent = (t: number): string => `${((t - all.from) / (all.to - all.from)) * 100}%`;
  const perPixel = (): number => (all.to - all.from) / Math.max(1, element.current?.clientWidth ?? 1);

  const down = (event: PointerEvent): void => {
    const box = element.current?.getBoundingClientRect();
    if (!box) return;
    element.current?.setPointerCapture(event.pointerId);
    const x = event.clientX - box.left;
    const [start, end] = [(from - all.from) / perPixel(), (to - all.from) / perPixel()];
    if (x < start - END_GRIP_PX || x > end + END_GRIP_PX) {
      const t = all.from + x * perPixel();
      look(within({ from: t - (to - from) / 2, to: t + (to - from) / 2 }, all));
    }
    const grip =
      Math.abs(x - start) < END_GRIP_PX ? 'from' : Math.abs(x - end) < END_GRIP_PX ? 'to' : 'whole';
    held.current = { grip, x: event.clientX };
  };
  const move = (event: PointerEvent): void => {
    if (!held.current) return;
    const by = (event.clientX - held.current.x) * perPixel();
    held.current.x = event.clientX;
    look(dragWindow(range.value, held.current.grip, by, all));
  };
  const up = (): void => {
    held.current = null;
  };
  return (
    <div
      class="whole"
      data-testid="whole"
      aria-hidden="true"
      onPointerDown={down}
      onPointerMove={move}
      onPointerUp={up}
      onPointerCancel={up}
    >
      <div class="whole-plot" ref={element} />
      <div
        class="whole-window"
        style={{ insetInlineStart: percent(from), inlineSize: `calc(${percent(all.from + to - from)})` }}
      />
    </div>
  );
}

function usePlainPlot(element: { current: HTMLDivElement | null }, cook: CookDetail): void {
  const plot = useRef<Plot | null>(null);
  const series = wholeCurves.value;
  const estimates = openedEstimates.value;
  useEffect(() => {
    const target = element.current;
    if (!target) return;
    const scene = cookScene({
      cook,
      series,
      estimates,
      unit: unit.value,
      range: wholeRange(cook),
      width: VIEW_WIDTH,
      lanes: [],
      elapsed: true,
    });
    plot.current = createPlot(target, scene, { isPlain: true });
    const watch = new ResizeObserver(() => plot.current?.fit());
    watch.observe(target);
    return () => {
      watch.disconnect();
      plot.current?.destroy();
      plot.current = null;
    };
  }, [painted.value, unit.value, cook.id, series, estimates]);
}
