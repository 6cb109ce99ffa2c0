import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { createPlot } from '../../lib/plot/plot.ts';
import { painted } from '../../lib/theme.ts';
import { seasonScene } from '../../stores/study/compare-scene.ts';
import { trends } from '../../stores/overlay.ts';
import { unit } from '../../stores/settings.ts';

const NAMES: Record<string, readonly [words: string, unit: string, scale: number]> = {
  leadMinutes: ['Fire lit to ready', 'min', 1],
  recoverySeconds: ['Stone back after a pizza', 's', 1],
  charcoalGrams: ['Charcoal', 'g', 1],
  overshootC: ['Over the band', '°C', 1],
  rightShare: ['Pizzas that came out right', '%', 100],
};

/** A difference of temperatures is told in the person's unit. */
function namesOf(name: string): readonly [words: string, unit: string, scale: number] {
  const found = NAMES[name] ?? [name, '', 1];
  return found[1] === '°C' && unit.value === 'F' ? [found[0], '°F', 1.8] : found;
}

/** A figure of each cook over the season, with its axes, and what it means in words. */
export function Season(): JSX.Element {
  return (
    <section aria-label="The season">
      <h2>The season</h2>
      {trends.value.length === 0 && (
        <p>Nothing to show yet: it takes stored cooks. Rehearsals and examples do not count.</p>
      )}
      <ul class="trends" data-testid="trends">
        {trends.value.map(({ name, points, mean, words }) => {
          const [label, of, scale] = namesOf(name);
          return (
            <li key={name}>
              <h3>{label}</h3>
              <p>
                {Math.round(mean * scale)} {of}{' '}
                {points.length === 1
                  ? `in the one cook that tells, of ${dateOf(points[0]?.label ?? '')}.`
                  : `on average over ${points.length} cooks.`}{' '}
                {words ?? ''}
              </p>
              {points.length > 1 && (
                <Figure
                  points={points.map((p) => ({ label: dateOf(p.label), value: p.value * scale }))}
                  unit={` ${of}`}
                />
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

/** "18 Apr 26", of "2026-04-18". */
const dateOf = (day: string): string =>
  new Date(`${day}T12:00`).toLocaleDateString([], { day: 'numeric', month: 'short', year: '2-digit' });

type Points = readonly { label: string; value: number }[];

function Figure({ points, unit }: { points: Points; unit: string }): JSX.Element {
  const element = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const target = element.current;
    if (!target) return;
    const plot = createPlot(target, seasonScene(points, unit, target.clientWidth));
    const watch = new ResizeObserver(() => {
      plot.fit();
      plot.paint(seasonScene(points, unit, target.clientWidth));
    });
    watch.observe(target);
    return () => {
      watch.disconnect();
      plot.destroy();
    };
  }, [painted.value, trends.value]);
  const spoken = points.map(({ label, value }) => `${label}: ${Math.round(value)}${unit}`).join(', ');
  return <div class="season-canvas" ref={element} role="img" aria-label={spoken} />;
}
