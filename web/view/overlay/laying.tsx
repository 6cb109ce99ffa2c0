import type { JSX } from 'preact';
import { formatDay, inUnit } from '../../lib/format.ts';
import { originOf, type Align, type Laid } from '../../stores/overlay.ts';
import { unit } from '../../stores/settings.ts';

const [WIDTH, HEIGHT, LEFT, BELOW] = [1000, 420, 56, 34];
/** Told apart by their dashes, not by colour alone. */
const DASHES = ['', '14 6', '4 5', '16 5 3 5', '2 9', '22 8'] as const;
const COLOURS = ['--stone', '--dome', '--other', '--go', '--ink', '--band'] as const;
const MINUTES = 60;

type Placed = { laid: Laid; points: (readonly [minutes: number, value: number])[] };

/** Stone curves over each other, minutes before and after the moment at which they meet. */
export function Laying({ laid, by }: { laid: readonly Laid[]; by: Align }): JSX.Element {
  const placed = laid.flatMap((one): Placed[] => {
    const origin = originOf(one, by);
    if (origin === null) return [];
    const points = one.stone.map(([t, c]) => [(t - origin) / MINUTES, inUnit(c, unit.value)] as const);
    return [{ laid: one, points }];
  });
  const missing = laid.length - placed.length;
  if (placed.length === 0)
    return <p role="status">{missing > 0 ? MISSING : 'Choose two cooks or more below.'}</p>;
  return (
    <figure class="laying" data-testid="overlay">
      <Curves placed={placed} />
      <figcaption>
        <ul>
          {placed.map(({ laid: { cook } }, i) => (
            <li key={cook.id}>
              <svg viewBox="0 0 60 10" width="60" height="10" aria-hidden="true">
                <line x1="0" y1="5" x2="60" y2="5" {...strokeOf(i)} />
              </svg>
              {cook.name || 'A cook'}, {formatDay(Date.parse(cook.startedAt))}
            </li>
          ))}
        </ul>
        {missing > 0 && <p>{MISSING}</p>}
      </figcaption>
    </figure>
  );
}

const MISSING = 'A cook without this moment is left out: choose another one above.';

const strokeOf = (i: number) => ({
  style: { stroke: `var(${COLOURS[i % COLOURS.length] ?? '--ink'})` },
  'stroke-dasharray': DASHES[i % DASHES.length] ?? '',
  'stroke-width': 3,
  fill: 'none',
});

function Curves({ placed }: { placed: readonly Placed[] }): JSX.Element {
  const all = placed.flatMap(({ points }) => points);
  const [from, to] = rangeOf(all.map(([minutes]) => minutes));
  const [low, high] = rangeOf(all.map(([, value]) => value));
  const x = (minutes: number): number => LEFT + ((minutes - from) / (to - from)) * (WIDTH - LEFT - 8);
  const y = (value: number): number => 8 + ((high - value) / (high - low)) * (HEIGHT - BELOW - 8);
  return (
    <svg
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="img"
      aria-label={`Stone of ${placed.length} cooks, from ${Math.round(low)}° to ${Math.round(high)}°`}
    >
      {ticks(low, high, 6).map((value) => (
        <g key={value}>
          <line class="grid" x1={LEFT} x2={WIDTH - 8} y1={y(value)} y2={y(value)} />
          <text x={LEFT - 8} y={y(value) + 6} text-anchor="end">
            {value}°
          </text>
        </g>
      ))}
      {ticks(from, to, 8).map((minutes) => (
        <text key={minutes} x={x(minutes)} y={HEIGHT - 8} text-anchor="middle">
          {minutes > 0 ? `+${minutes}` : minutes} min
        </text>
      ))}
      <line class="meets" x1={x(0)} x2={x(0)} y1="0" y2={HEIGHT - BELOW} />
      {placed.map(({ laid: { cook }, points }, i) => (
        <polyline
          key={cook.id}
          points={points
            .map(([minutes, value]) => `${x(minutes).toFixed(1)},${y(value).toFixed(1)}`)
            .join(' ')}
          {...strokeOf(i)}
        />
      ))}
    </svg>
  );
}

function rangeOf(values: readonly number[]): [number, number] {
  const low = values.reduce((a, b) => Math.min(a, b), 0);
  const high = values.reduce((a, b) => Math.max(a, b), 1);
  return [low, high];
}

const STEPS = [1, 2, 5, 10, 20, 30, 50, 60, 100, 120, 200, 240, 500];

/** Whole numbers at a handy distance, about `most` of them. */
function ticks(low: number, high: number, most: number): number[] {
  const step = STEPS.find((one) => (high - low) / one <= most) ?? 1000;
  const first = Math.ceil(low / step);
  return Array.from({ length: Math.floor(high / step) - first + 1 }, (_, i) => (first + i) * step);
}
