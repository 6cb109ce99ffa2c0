import { computed, effect, signal, useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { formatDegrees, timeWriter } from '../../lib/format.ts';
import { painted } from '../../lib/theme.ts';
import type { createPlot, Plot } from '../../lib/plot/plot.ts';
import type { Scene } from '../../lib/plot/plot-scene.ts';
import { curves, estimates, pastMissing } from '../../stores/derive/curve/live-curves.ts';
import { clock, cookId, cookTime, lost, member, now } from '../../stores/live.ts';
import { drawnAt } from '../../stores/derive/curve/series.ts';
import { BUCKET_PIXELS, liveScene, type LineSpan } from '../../stores/derive/curve/curve-scene.ts';
import { chooseSpan, lineSpan, overdraw } from '../../stores/screen.ts';
import { unit } from '../../stores/settings.ts';
import { lazy } from '../shell/lazy.tsx';

/**
 * The line moves on when it has a bucket of the drawing to move, less than its own width, but not oftener than the first
 * nor seldomer than the second, ms. A reading waits for it; what a person did, what calls and a past that has come are
 * drawn at once.
 */
const REDRAW_MS = [1000, 10_000] as const;

function sceneNow(width: number): Scene | null {
  const document = now.peek();
  const t = cookTime.peek();
  if (!document || t === null) return null;
  const scene = liveScene({
    now: document,
    series: curves.peek().series,
    estimates: estimates.peek(),
    unit: unit.peek(),
    t,
    span: lineSpan.peek(),
    width,
  });
  return { ...scene, over: overdraw.peek() };
}

const words = computed(() => {
  const { pizzas = [], forecast } = now.value ?? {};
  const baked = pizzas.filter((p) => p.launchedAt !== null).length;
  return `The evening so far and the next 20 minutes: ${baked} of ${pizzas.length} pizzas launched${forecast ? ', with a forecast' : ''}. The numbers stand in words beside it.`;
});

/** The moment that was tapped, s of the cook. */
const moment = signal<number | null>(null);
/** It is shown so long, ms. */
const READ_OFF_MS = 10_000;
/** A key moves it by so much, s. */
const KEY_STEP_SECONDS = 30;
/** What the ribbon shows, s of the cook. */
const seen = signal<{ from: number; to: number } | null>(null);

const readWords = computed(() => {
  const t = moment.value;
  const { cook, channels = [] } = now.value ?? {};
  if (t === null || !cook) return '';
  const values = channels.flatMap(({ id, name }) => {
    const celsius = drawnAt(curves.value.series, id, t);
    return celsius === null ? [] : [`${name} ${formatDegrees(celsius, unit.value)}`];
  });
  return [timeWriter(cook)(t), ...(values.length > 0 ? values : ['no reading'])].join(' · ');
});

/** Written straight into the page: read here, they would have all of the line drawn anew each second. */
const valueNow = computed(() => Math.round(moment.value ?? cookTime.value ?? 0));
const valueText = computed(() => readWords.value || 'now');

const WhatIf = lazy(async () => (await import('../what-if/index.tsx')).WhatIf, 'sheets.css', null);
const goesOver = computed(() => now.value?.alerts.some(({ alert }) => alert.startsWith('oversho')) ?? false);

export function Timeline(): JSX.Element {
  const element = useRef<HTMLDivElement>(null);
  const plot = usePlot(element);
  const read = (event: PointerEvent): void => {
    const area = plot.current?.plot.area();
    const left = element.current?.getBoundingClientRect().left ?? 0;
    if (!area || !seen.peek()) return;
    const share = (event.clientX - left - area.left) / Math.max(1, area.width);
    const { from, to } = seen.peek() ?? { from: 0, to: 0 };
    moment.value = share < 0 || share > 1 ? null : from + share * (to - from);
  };
  const step = (event: KeyboardEvent): void => {
    const by = { ArrowLeft: -KEY_STEP_SECONDS, ArrowRight: KEY_STEP_SECONDS }[event.key];
    if (event.key === 'Escape') moment.value = null;
    if (by === undefined) return;
    event.preventDefault();
    moment.value = (moment.value ?? cookTime.peek() ?? 0) + by;
  };
  const at = moment.value;
  useEffect(() => {
    plot.current?.plot.point(at);
    if (at === null) return;
    const timer = setTimeout(() => {
      moment.value = null;
    }, READ_OFF_MS);
    return () => clearTimeout(timer);
  }, [at]);
  return (
    <section class={`timeline ${lost.value === null ? '' : 'is-old'}`} aria-label="Line of time">
      <div
        class="timeline-canvas"
        ref={element}
        role="slider"
        tabIndex={0}
        aria-label={words}
        aria-valuenow={valueNow}
        aria-valuetext={valueText}
        data-testid="ribbon"
        onPointerDown={read}
        onKeyDown={step}
      />
      {readWords.value && (
        <p class="timeline-read" role="status" data-testid="read-off">
          {readWords}
        </p>
      )}
      {pastMissing.value && <p class="timeline-note">The earlier part could not be fetched.</p>}
      <div class="timeline-keys">
        {goesOver.value && <WhatIf />}
        <div class="timeline-spans" role="group" aria-label="How much of the evening">
          <SpanButton span="evening" label="Evening" />
          <SpanButton span="closer" label="Closer" />
        </div>
      </div>
    </section>
  );
}

const SpanButton = ({ span, label }: { span: LineSpan; label: string }): JSX.Element => (
  <button
    type="button"
    class="chip"
    aria-pressed={lineSpan.value === span}
    onClick={() => {
      chooseSpan(span);
    }}
  >
    {label}
  </button>
);

const [pizzas, events, alerts] = [member('pizzas'), member('events'), member('alerts')];
const series = computed(() => curves.value.series);
/** What is drawn at once when it changes. */
const drawnAtOnce = (): readonly unknown[] =>
  [cookId, pizzas, events, alerts, series, estimates, unit, lineSpan, overdraw, painted].map(
    ({ value }) => value,
  );
/** Seconds of the cook in a pixel of the line as it was last drawn. */
const secondsInPixel = signal(0);
const rate = member('rate');
const creep = computed(() => {
  const [least, most] = REDRAW_MS;
  const aBucket = (1000 * BUCKET_PIXELS * secondsInPixel.value) / (rate.value ?? 1);
  return Math.floor(clock.value / Math.min(most, Math.max(least, aBucket)));
});

const made = signal<typeof createPlot | null>(null);
/** The chart library takes long to begin: it is fetched once the rest stands, and asked for again should that fail. */
async function fetchPlot(): Promise<void> {
  made.value ??= (await import('../../lib/plot/plot.ts')).createPlot;
}

function maker(): typeof createPlot | null {
  if (!made.peek()) fetchPlot().catch(() => {});
  return made.peek();
}

/**
 * After the frame that comes next, once however often it is asked for: what to do is on the screen first.
 * @param failed takes what the work throws
 */
function afterFrame(work: () => void, failed: (fault: unknown) => void): { ask(): void; stop(): void } {
  let frame: number | null = null;
  return {
    ask() {
      frame ??= requestAnimationFrame(() =>
        setTimeout(() => {
          if (frame === null) return;
          frame = null;
          try {
            work();
          } catch (fault) {
            failed(fault);
          }
        }),
      );
    },
    stop() {
      if (frame !== null) cancelAnimationFrame(frame);
      frame = null;
    },
  };
}

/**
 * Keeps a plot in the element, made anew when its channels or colours change. Its scene is put together after one frame and
 * drawn after the next, beside no message that came, so that no frame is long.
 */
function usePlot(element: { current: HTMLDivElement | null }): {
  current: { plot: Plot; key: string } | null;
} {
  const plot = useRef<{ plot: Plot; key: string } | null>(null);
  const fault = useSignal<unknown>(null);
  // Thrown while the part is drawn, where the boundary around it says so.
  if (fault.value !== null) throw fault.value;
  useEffect(() => {
    const failed = (thrown: unknown): void => {
      fault.value = thrown;
    };
    const at = element.current;
    if (!at) return;
    const width = signal(at.clientWidth);
    let scene: Scene | null = null;
    const drawing = afterFrame(() => {
      const make = made.peek();
      if (!scene || !make) return;
      const key = `${painted.peek()} ${scene.curves.map((c) => c.id).join()}`;
      if (plot.current?.key !== key) {
        plot.current?.plot.destroy();
        plot.current = { plot: make(at, scene), key };
      }
      plot.current.plot.paint(scene);
      seen.value = { from: scene.from, to: scene.to };
      secondsInPixel.value = (scene.to - scene.from) / width.peek();
    }, failed);
    const making = afterFrame(() => {
      scene = maker() && sceneNow(width.peek());
      drawing.ask();
    }, failed);
    const stop = effect(() => {
      [made, creep, width].forEach(({ value }) => value);
      drawnAtOnce();
      making.ask();
    });
    const watch = new ResizeObserver(() => {
      plot.current?.plot.fit();
      width.value = at.clientWidth;
    });
    watch.observe(at);
    return () => {
      stop();
      making.stop();
      drawing.stop();
      watch.disconnect();
      plot.current?.plot.destroy();
      plot.current = null;
    };
  }, []);
  return plot;
}
