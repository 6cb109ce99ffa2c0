import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { CookDetail } from '../../../shared/api/api.ts';
import { formatTemperature } from '../../lib/format.ts';
import { createPlot, type Area, type Plot } from '../../lib/plot/plot.ts';
import { LANE_HEIGHT_PX, laneItemAt, paintLanes } from '../../lib/plot/plot-lanes.ts';
import { painted } from '../../lib/theme.ts';
import { look, openedCurves, openedEstimates, range, wholeRange } from '../../stores/past.ts';
import { cookScene } from '../../stores/derive/curve/curve-scene.ts';
import { unit } from '../../stores/settings.ts';
import {
  cursor,
  elapsed,
  jump,
  lanes,
  marksAtCursor,
  moveCursor,
  pointAt,
  readOff,
  zoom,
} from '../../stores/study/study.ts';
import { handleGestures } from './gestures.ts';
import { Keys } from './keys.tsx';
import { Mark } from './mark.tsx';
import { ReadOut, momentText } from './read-out.tsx';
import { Whole } from './whole.tsx';

/** The whole curve of a cook, with a cursor that reads it off, the lanes of what happened, and a strip of the whole. */
export function Study({ cook }: { cook: CookDetail }): JSX.Element {
  const element = useRef<HTMLDivElement>(null);
  const area = useSignal<Area>({ left: 56, top: 0, width: 800, height: 300, lanes: 330 });
  useStudyPlot(element, cook, area);
  useEffect(() => {
    cursor.value = null;
  }, [cook.id]);
  return (
    <section class="study" aria-label="Curve">
      <div
        class="cook-canvas"
        ref={element}
        data-testid="cook-curve"
        tabIndex={0}
        role="slider"
        aria-label="Cursor on the curve"
        aria-valuemin={0}
        aria-valuemax={Math.round(cook.seconds)}
        aria-valuenow={Math.round(cursor.value ?? range.value.from)}
        aria-valuetext={inWords(cook)}
        onKeyDown={onKey}
      />
      <Whole cook={cook} />
      <Keys />
      <div class="study-aside">
        <ReadOut cook={cook} />
        <ul class="explained" data-testid="why" aria-live="polite">
          {marksAtCursor(cook, area.value.width).map((mark) => (
            <Mark key={mark.id} cook={cook} mark={mark} open />
          ))}
        </ul>
      </div>
    </section>
  );
}

function inWords(cook: CookDetail): string {
  const read = readOff.value;
  if (!read) return 'nothing pointed at';
  const values = read.channels
    .filter(({ celsius }) => celsius !== null)
    .map(
      ({ name, celsius, error }) =>
        `${name} ${error === undefined ? '' : 'about '}${formatTemperature(celsius, unit.value)}`,
    );
  const marks = marksAtCursor(cook, 800).map(({ name, text }) =>
    `${name.replaceAll('-', ' ')} ${text}`.trim(),
  );
  return [read.time, ...values, momentText(read.moment), ...marks].filter(Boolean).join(', ');
}

const KEYS: Record<string, (far: boolean) => void> = {
  ArrowLeft: (far) => moveCursor(far ? -1 / 12 : -1 / 150),
  ArrowRight: (far) => moveCursor(far ? 1 / 12 : 1 / 150),
  PageUp: () => jump('mark', -1),
  PageDown: () => jump('mark', 1),
  '[': () => jump('launch', -1),
  ']': () => jump('launch', 1),
  '+': () => zoom('closer'),
  '=': () => zoom('closer'),
  '-': () => zoom('wider'),
  '0': () => zoom('all'),
  Escape: () => {
    cursor.value = null;
  },
};

function onKey(event: KeyboardEvent): void {
  const act = KEYS[event.key];
  if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  act(event.shiftKey);
}

function useStudyPlot(
  element: { current: HTMLDivElement | null },
  cook: CookDetail,
  area: { value: Area },
): void {
  const plot = useRef<Plot | null>(null);
  const scene = cookScene({
    cook,
    series: openedCurves.value,
    estimates: openedEstimates.value,
    unit: unit.value,
    range: range.value,
    width: area.value.width,
    lanes: lanes.value,
    elapsed: elapsed.value,
  });
  const measure = (): void => {
    const found = plot.current?.area();
    if (found && JSON.stringify(found) !== JSON.stringify(area.value)) area.value = found;
  };
  useEffect(() => {
    if (!element.current) return;
    plot.current = createPlot(element.current, scene, {
      lanes: { height: LANE_HEIGHT_PX, paint: paintLanes },
    });
    plot.current.point(cursor.peek());
    measure();
    return () => {
      plot.current?.destroy();
      plot.current = null;
    };
  }, [painted.value, cook.id, lanes.value.length]);
  useEffect(() => {
    plot.current?.paint(scene);
    measure();
  }, [scene]);
  useEffect(() => plot.current?.point(cursor.value), [cursor.value]);
  useEffect(() => {
    const target = element.current;
    if (!target) return;
    const watch = new ResizeObserver(() => {
      plot.current?.fit();
      measure();
    });
    watch.observe(target);
    const stop = handleGestures(target, {
      area: () => plot.current?.area() ?? { left: 0, width: 1 },
      all: () => wholeRange(cook),
      range: () => range.peek(),
      look,
      cursor: () => cursor.peek(),
      point: pointAt,
      tapped: (x, y) =>
        laneItemAt(lanes.peek(), range.peek(), plot.current?.area() ?? null, x, y)?.from ?? null,
    });
    return () => {
      watch.disconnect();
      stop();
    };
  }, [cook.id]);
}
