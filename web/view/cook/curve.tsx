import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { CookDetail } from '../../../shared/api.ts';
import { timeWriter } from '../../lib/format.ts';
import { createPlot, type Plot } from '../../lib/plot.ts';
import { painted } from '../../lib/theme.ts';
import { look, openedCurves, range, wholeRange } from '../../stores/past.ts';
import { cookScene } from '../../stores/scene.ts';
import { unit } from '../../stores/settings.ts';
import { panBy, zoomAbout } from '../../stores/zoom.ts';
import { Icon, type IconName } from '../icon/index.tsx';
import { handleGestures } from './gestures.ts';
import { MarkRail, WhyPanel } from './rail.tsx';

/** The whole curve of a cook: drag to move, wheel or pinch to look closer, or the keys and buttons. */
export function CookCurve({ cook }: { cook: CookDetail }): JSX.Element {
  const element = useRef<HTMLDivElement>(null);
  const area = useSignal({ left: 56, width: 800 });
  const open = useSignal<readonly string[]>([]);
  useCookPlot(element, cook, area);
  const write = timeWriter(cook);
  const { from, to } = range.value;
  return (
    <section class="cook-curve" aria-label="Curve">
      <MarkRail cook={cook} left={area.value.left} width={area.value.width} open={open} />
      <div
        class="cook-canvas"
        ref={element}
        data-testid="cook-curve"
        tabIndex={0}
        role="application"
        aria-roledescription="curve"
        aria-label={`Stone and dome from ${write(from)} to ${write(to)}. Arrow keys move, plus and minus zoom, 0 shows all.`}
        onKeyDown={(event) => onKey(event, cook)}
      />
      <WhyPanel cook={cook} open={open.value} />
      <Buttons cook={cook} />
    </section>
  );
}

const middle = (): number => (range.value.from + range.value.to) / 2;

const moves: Record<string, (cook: CookDetail) => void> = {
  ArrowLeft: (cook) => look(panBy(range.value, -0.25, wholeRange(cook))),
  ArrowRight: (cook) => look(panBy(range.value, 0.25, wholeRange(cook))),
  '+': (cook) => look(zoomAbout(range.value, middle(), 0.5, wholeRange(cook))),
  '-': (cook) => look(zoomAbout(range.value, middle(), 2, wholeRange(cook))),
  '0': (cook) => look(wholeRange(cook)),
};

function onKey(event: KeyboardEvent, cook: CookDetail): void {
  const move = moves[event.key === '=' ? '+' : event.key === 'Home' ? '0' : event.key];
  if (!move || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  move(cook);
}

const BUTTONS: readonly (readonly [key: string, icon: IconName, label: string])[] = [
  ['ArrowLeft', 'earlier', 'Earlier'],
  ['ArrowRight', 'level', 'Later'],
  ['+', 'zoomIn', 'Closer'],
  ['-', 'zoomOut', 'Wider'],
  ['0', 'whole', 'All'],
];

const Buttons = ({ cook }: { cook: CookDetail }): JSX.Element => (
  <div class="row curve-buttons" role="group" aria-label="Zoom">
    {BUTTONS.map(([key, icon, label]) => (
      <button
        type="button"
        class="button"
        key={key}
        data-testid={`zoom-${label.toLowerCase()}`}
        onClick={() => moves[key]?.(cook)}
      >
        <Icon name={icon} /> {label}
      </button>
    ))}
  </div>
);

type Area = { value: { left: number; width: number } };

function useCookPlot(element: { current: HTMLDivElement | null }, cook: CookDetail, area: Area): void {
  const plot = useRef<Plot | null>(null);
  const scene = cookScene(cook, openedCurves.value, unit.value, range.value, area.value.width);
  const measure = (): void => {
    const found = plot.current?.area();
    if (found && (found.width !== area.value.width || found.left !== area.value.left)) area.value = found;
  };
  useEffect(() => {
    if (!element.current) return;
    plot.current = createPlot(element.current, scene);
    measure();
    return () => {
      plot.current?.destroy();
      plot.current = null;
    };
  }, [painted.value, cook.id]);
  useEffect(() => {
    plot.current?.paint(scene);
    measure();
  }, [scene]);
  useEffect(() => {
    const target = element.current;
    if (!target) return;
    const watch = new ResizeObserver(() => {
      plot.current?.fit();
      measure();
    });
    watch.observe(target);
    const stop = handleGestures(
      target,
      () => plot.current?.area() ?? { left: 0, width: 1 },
      wholeRange(cook),
    );
    return () => {
      watch.disconnect();
      stop();
    };
  }, [cook.id]);
}
