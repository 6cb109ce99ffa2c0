import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { CookRow } from '../../../shared/api.ts';
import { formatDay } from '../../lib/format.ts';
import { align, laid, loadTrends, toggleCook, trends, type Align } from '../../stores/overlay.ts';
import { cooks, loadCooks } from '../../stores/past.ts';
import { EveningStyles } from '../plan/styles.tsx';
import { Choice } from '../sheet/choice.tsx';
import { Laying } from './laying.tsx';

const ALIGN_WORDS: readonly (readonly [Align, string])[] = [
  ['lit', 'Fire lit'],
  ['band', 'Band entered'],
  ['launch', 'First launch'],
];

/** Two or more cooks over each other, and how the season goes. */
export function OverlayPage(): JSX.Element {
  useEffect(() => {
    void loadCooks();
    void loadTrends();
  }, []);
  return (
    <div class="page overlay">
      <EveningStyles />
      <h1>Compare cooks</h1>
      <Choice
        legend="Laid over each other at"
        name="align"
        options={ALIGN_WORDS}
        value={align.value}
        onChoose={(by) => {
          align.value = by;
        }}
        testid="align"
      />
      <Laying laid={laid.value} by={align.value} />
      <fieldset class="choices">
        <legend>Which cooks</legend>
        {cooks.value?.map((cook) => (
          <Pick key={cook.id} cook={cook} />
        ))}
      </fieldset>
      <Trends />
    </div>
  );
}

const Pick = ({ cook: { id, name, startedAt } }: { cook: CookRow }): JSX.Element => (
  <label class="choice">
    <input
      type="checkbox"
      checked={laid.value.some(({ cook }) => cook.id === id)}
      onChange={() => void toggleCook(id)}
      data-testid="overlay-pick"
    />
    <span>
      {name || 'A cook'}, {formatDay(Date.parse(startedAt))}
    </span>
  </label>
);

const NAMES: Record<string, readonly [words: string, unit: string, scale: number]> = {
  leadMinutes: ['Fire lit to ready', 'min', 1],
  recoverySeconds: ['Stone back after a pizza', 's', 1],
  charcoalGrams: ['Charcoal', 'g', 1],
  overshootC: ['Over the band', '°C', 1],
  rightShare: ['Pizzas that came out right', '%', 100],
};

function Trends(): JSX.Element {
  return (
    <section aria-label="The season">
      <h2>The season</h2>
      {trends.value.length === 0 && <p>Nothing to tell yet: it takes kept cooks, rehearsals do not count.</p>}
      <ul class="trends" data-testid="trends">
        {trends.value.map(({ name, points, mean, words }) => {
          const [said, unit, scale] = NAMES[name] ?? [name, '', 1];
          return (
            <li key={name}>
              <strong>{said}</strong> {Math.round(mean * scale)} {unit} on average over {points.length}{' '}
              {points.length === 1 ? 'cook' : 'cooks'}. {words ?? ''}
              <Spark values={points.map(({ value }) => value)} />
            </li>
          );
        })}
      </ul>
    </section>
  );
}

/** The figures from cook to cook as dots on a line; the words beside it say what it means. */
function Spark({ values }: { values: readonly number[] }): JSX.Element | null {
  if (values.length < 2) return null;
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const at = (value: number, i: number): string =>
    `${6 + (i * 188) / (values.length - 1)},${34 - ((value - low) / Math.max(1e-9, high - low)) * 28}`;
  return (
    <svg class="spark" viewBox="0 0 200 40" width="200" height="40" aria-hidden="true">
      <polyline points={values.map(at).join(' ')} />
    </svg>
  );
}
