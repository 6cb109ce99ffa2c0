import type { JSX } from 'preact';
import type { CookRow } from '../../../shared/api/api.ts';

const VIEW_WIDTH = 240;
const VIEW_HEIGHT = 80;

type Points = readonly (readonly [number, number])[];

/** The curves of a cook, small, with the stone's band behind them. */
export function Picture({ cook }: { cook: CookRow }): JSX.Element {
  const all = Object.values(cook.picture).flat();
  const from = Math.min(0, ...all.map(([t]) => t));
  const to = Math.max(60, ...all.map(([t]) => t));
  const top = Math.max(cook.targets.stone[1], ...all.map(([, celsius]) => celsius)) + 10;
  const x = (t: number): number => ((t - from) / (to - from)) * VIEW_WIDTH;
  const y = (celsius: number): number => VIEW_HEIGHT - (Math.max(0, celsius) / top) * VIEW_HEIGHT;
  const path = (points: Points): string =>
    points.map(([t, celsius], i) => `${i ? 'L' : 'M'}${x(t).toFixed(1)} ${y(celsius).toFixed(1)}`).join('');
  const [low, high] = cook.targets.stone;
  return (
    <svg
      class="picture"
      viewBox={`0 0 ${VIEW_WIDTH} ${VIEW_HEIGHT}`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <rect class="band" x={0} y={y(high)} width={VIEW_WIDTH} height={y(low) - y(high)} />
      {Object.entries(cook.picture).map(([channel, points]) => (
        <path key={channel} class={`curve ${channel}`} d={path(points)} />
      ))}
    </svg>
  );
}
