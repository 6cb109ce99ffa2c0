import { computed, signal, useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { painted } from '../../lib/theme.ts';
import type { createPlot, Plot } from '../../lib/plot.ts';
import type { Scene } from '../../lib/scene.ts';
import { curves, pastMissing } from '../../stores/curves.ts';
import { beat, cookId, cookTime, lost, member, now } from '../../stores/live.ts';
import { liveScene, type LineSpan } from '../../stores/scene.ts';
import { lineSpan } from '../../stores/screen.ts';
import { unit } from '../../stores/settings.ts';

/**
 * The line moves on when it has a pixel to move, not oftener than the first nor seldomer than the second, ms. A reading
 * waits for it; what a person did, what calls and a past that has come are drawn at once.
 */
const CREEP_MS = [1000, 4000] as const;

function sceneNow(width: number): Scene | null {
  const document = now.peek();
  const t = cookTime.peek();
  if (!document || t === null) return null;
  return liveScene({
    now: document,
    series: curves.peek().series,
    unit: unit.peek(),
    t,
    span: lineSpan.peek(),
    width,
  });
}

const words = computed(() => {
  const { pizzas = [], forecast } = now.value ?? {};
  const baked = pizzas.filter((p) => p.launchedAt !== null).length;
  return `The evening so far and the next 20 minutes: ${baked} of ${pizzas.length} pizzas launched${forecast ? ', with a forecast' : ''}. The numbers stand in words beside it.`;
});

export function Timeline(): JSX.Element {
  const element = useRef<HTMLDivElement>(null);
  usePlot(element);
  return (
    <section class={`timeline ${lost.value === null ? '' : 'is-old'}`} aria-label="Line of time">
      <div class="timeline-canvas" ref={element} role="img" aria-label={words} />
      {pastMissing.value && <p class="timeline-note">The earlier part could not be fetched.</p>}
      <div class="timeline-spans" role="group" aria-label="How much of the evening">
        <SpanButton span="evening" label="Evening" />
        <SpanButton span="closer" label="Closer" />
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
      lineSpan.value = span;
    }}
  >
    {label}
  </button>
);

const [pizzas, events, alerts] = [member('pizzas'), member('events'), member('alerts')];
const series = computed(() => curves.value.series);
/** What is drawn at once when it changes. */
const drawnAtOnce = (): readonly unknown[] =>
  [cookId, pizzas, events, alerts, series, unit, lineSpan, painted].map(({ value }) => value);
/** Seconds of the cook in a pixel of the line as it was last drawn. */
const secondsInPixel = signal(0);
const rate = member('rate');
const creep = computed(() => {
  const [least, most] = CREEP_MS;
  const aPixel = (1000 * secondsInPixel.value) / (rate.value ?? 1);
  return Math.floor(beat.value / Math.min(most, Math.max(least, aPixel)));
});

const made = signal<typeof createPlot | null>(null);
/** The chart library takes long to begin: it is fetched once the rest stands, and asked for again should that fail. */
async function fetchPlot(): Promise<void> {
  made.value ??= (await import('../../lib/plot.ts')).createPlot;
}

function maker(): typeof createPlot | null {
  if (!made.peek()) fetchPlot().catch(() => {});
  return made.peek();
}

/** Keeps a plot in the element, made anew when its channels or colours change. */
function usePlot(element: { current: HTMLDivElement | null }): void {
  const width = useSignal(800);
  const plot = useRef<{ plot: Plot; key: string } | null>(null);
  const isSaid = useSignal(false);
  useEffect(() => {
    // What to do is on the screen first: a slow tablet needs long for its first curve.
    const frame = requestAnimationFrame(() =>
      setTimeout(() => {
        isSaid.value = true;
      }),
    );
    return () => cancelAnimationFrame(frame);
  }, []);
  useEffect(() => {
    const make = isSaid.peek() ? maker() : null;
    const scene = make && sceneNow(width.peek());
    if (!element.current || !make || !scene) return;
    const key = `${painted.peek()} ${scene.curves.map((c) => c.id).join()}`;
    if (plot.current?.key !== key) {
      plot.current?.plot.destroy();
      plot.current = { plot: make(element.current, scene), key };
    }
    plot.current.plot.paint(scene);
    secondsInPixel.value = (scene.to - scene.from) / width.peek();
  }, [isSaid.value, made.value, creep.value, width.value, ...drawnAtOnce()]);
  useEffect(() => {
    const watch = new ResizeObserver(() => {
      plot.current?.plot.fit();
      width.value = element.current?.clientWidth ?? 800;
    });
    if (element.current) watch.observe(element.current);
    return () => {
      watch.disconnect();
      plot.current?.plot.destroy();
      plot.current = null;
    };
  }, []);
}
