import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { formatDay, formatDegrees, formatDifference, formatTook } from '../../lib/format.ts';
import { DASH_PATTERNS } from '../../lib/plot/dashes.ts';
import { createPlot, type Plot } from '../../lib/plot/plot.ts';
import { painted } from '../../lib/theme.ts';
import {
  comparedAt,
  comparedRange,
  comparedValue,
  comparedCooks,
  lookCompared,
  placed,
  wholeCompared,
  type Placed,
} from '../../stores/overlay.ts';
import { compareScene, differenceOf, letterOf, writeMinutes } from '../../stores/study/compare-scene.ts';
import { zoomAbout } from '../../stores/derive/curve/zoom.ts';
import { unit } from '../../stores/settings.ts';
import { photoPath } from '../../stores/study/photo-actions.ts';
import { Button } from '../button/index.tsx';
import { handleGestures } from '../cook/gestures.ts';
import { Icon } from '../icon/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { WhyBetter } from './why-better.tsx';

/** Stone curves over each other, minutes before and after the moment at which they meet, with a cursor that reads them. */
export function ComparisonChart(): JSX.Element {
  const missing = comparedCooks.value.length - placed.value.length;
  if (placed.value.length === 0)
    return <p role="status">{missing > 0 ? MISSING : 'Choose two to six cooks above.'}</p>;
  return (
    <section class="comparison" data-testid="overlay" aria-label="Cooks compared">
      <Canvas />
      <div class="row" role="group" aria-label="Zoom">
        <ZoomKey label="Closer" icon="zoomIn" factor={0.5} />
        <ZoomKey label="Wider" icon="zoomOut" factor={2} />
        <Button onClick={() => lookCompared(wholeCompared.value)}>
          <Icon name="whole" /> All
        </Button>
      </div>
      <Legend />
      <WhyBetter />
      {missing > 0 && <p>{MISSING}</p>}
      {placed.value.map((placed, i) => (
        <PizzasOf key={placed.cook.id} placed={placed} letter={letterOf(i)} />
      ))}
    </section>
  );
}

const MISSING = 'A cook without this moment is left out: choose another one above.';

function zoom(factor: number): void {
  const { from, to } = comparedRange.peek();
  lookCompared(zoomAbout({ from, to }, comparedAt.peek() ?? (from + to) / 2, factor, wholeCompared.peek()));
}

const ZoomKey = ({ label, icon, factor }: { label: string; icon: 'zoomIn' | 'zoomOut'; factor: number }) => (
  <Button onClick={() => zoom(factor)}>
    <RareIcon name={icon} /> {label}
  </Button>
);

function step(by: number): void {
  const { from, to } = comparedRange.peek();
  const t = comparedAt.peek() ?? Math.max(from, Math.min(to, 0));
  comparedAt.value = Math.min(to, Math.max(from, t + by * (to - from)));
}

const KEYS: Record<string, (far: boolean) => void> = {
  ArrowLeft: (far) => step(far ? -1 / 12 : -1 / 150),
  ArrowRight: (far) => step(far ? 1 / 12 : 1 / 150),
  '+': () => zoom(0.5),
  '=': () => zoom(0.5),
  '-': () => zoom(2),
  '0': () => lookCompared(wholeCompared.peek()),
};

function onKey(event: KeyboardEvent): void {
  const act = KEYS[event.key];
  if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  act(event.shiftKey);
}

function Canvas(): JSX.Element {
  const element = useRef<HTMLDivElement>(null);
  const plot = useRef<Plot | null>(null);
  const width = useSignal(800);
  const range = comparedRange.value;
  const scene = compareScene(placed.value, unit.value, range, width.value);
  const t = comparedAt.value;
  useEffect(() => {
    const target = element.current;
    if (!target) return;
    plot.current = createPlot(target, scene);
    const watch = new ResizeObserver(() => {
      plot.current?.fit();
      width.value = target.clientWidth;
    });
    watch.observe(target);
    const stop = handleGestures(target, {
      area: () => plot.current?.area() ?? { left: 0, width: 1 },
      all: () => wholeCompared.peek(),
      range: () => comparedRange.peek(),
      look: lookCompared,
      cursor: () => comparedAt.peek(),
      point: (at) => {
        comparedAt.value = at;
      },
      tapped: () => null,
    });
    return () => {
      stop();
      watch.disconnect();
      plot.current?.destroy();
      plot.current = null;
    };
  }, [painted.value, placed.value.map(({ cook }) => cook.id).join()]);
  useEffect(() => plot.current?.paint(scene), [scene]);
  useEffect(() => plot.current?.point(t), [t]);
  const texts = placed.value.map(
    ({ stone }, i) =>
      `${letterOf(i)} ${formatDegrees(t === null ? null : comparedValue(stone, t), unit.value)}`,
  );
  return (
    <div
      class="comparison-canvas"
      ref={element}
      tabIndex={0}
      role="slider"
      aria-label="Cursor on the curves"
      aria-valuemin={Math.round(range.from)}
      aria-valuemax={Math.round(range.to)}
      aria-valuenow={Math.round(t ?? 0)}
      aria-valuetext={t === null ? 'nothing pointed at' : `${writeMinutes(t)} min: ${texts.join(', ')}`}
      onKeyDown={onKey}
    />
  );
}

/** Which line is which cook, with its value at the cursor and how far that lies from the first. */
function Legend(): JSX.Element {
  const t = comparedAt.value;
  const values = placed.value.map(({ stone }) => (t === null ? null : comparedValue(stone, t)));
  return (
    <table class="legend">
      <caption data-testid="compared-at">
        {t === null
          ? 'Tap the curves to read them off.'
          : `${writeMinutes(t)} min from where they are aligned`}
      </caption>
      <tbody>
        {placed.value.map(({ cook }, i) => (
          <tr key={cook.id} data-testid="compared">
            <th scope="row">
              <svg
                viewBox="0 0 60 10"
                width="60"
                height="10"
                aria-hidden="true"
                class={i === 0 ? 'is-first' : ''}
              >
                <line x1="0" y1="5" x2="60" y2="5" stroke-dasharray={DASH_PATTERNS[i]?.join(' ')} />
              </svg>{' '}
              <a href={`#/past/${cook.id}`}>
                {letterOf(i)}: {cook.name || 'A cook'}
              </a>
              , {formatDay(Date.parse(cook.startedAt))}
            </th>
            <td>{formatDegrees(values[i] ?? null, unit.value)}</td>
            <td>{i === 0 ? '' : differenceOf(values[i] ?? null, values[0] ?? null, unit.value)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function PizzasOf({ placed: { cook }, letter }: { placed: Placed; letter: string }): JSX.Element | null {
  const baked = cook.run.filter(({ pizza }) => pizza.launchedAt !== null);
  if (baked.length === 0) return null;
  return (
    <details class="fold">
      <summary>
        {letter}: {cook.name || 'A cook'}, pizza by pizza
      </summary>
      <div class="wide">
        <table>
          <thead>
            <tr>
              {['Pizza', 'At launch', 'Fell by', 'Back after', 'Baked', 'Base', 'Top', 'Photos'].map(
                (name) => (
                  <th scope="col" key={name}>
                    {name}
                  </th>
                ),
              )}
            </tr>
          </thead>
          <tbody>
            {baked.map(({ pizza, review, photos }) => (
              <tr key={pizza.id}>
                <th scope="row">{pizza.name || 'Pizza'}</th>
                <td>{formatDegrees(review.stoneAtLaunch, unit.value)}</td>
                <td>{formatDifference(review.drawDown, unit.value)}</td>
                <td>{formatTook(review.recoverySeconds)}</td>
                <td>{formatTook(review.bakeSeconds)}</td>
                <td>{pizza.base ?? '–'}</td>
                <td>{pizza.top ?? '–'}</td>
                <td>
                  {photos.map(({ id, part }) => (
                    <a key={id} href={photoPath(cook.id, id)} target="_blank">
                      <img src={photoPath(cook.id, id)} alt={`${part} of ${pizza.name}`} loading="lazy" />
                    </a>
                  ))}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
