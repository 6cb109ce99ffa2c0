import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { CookRow } from '../../../shared/api/api.ts';
import { formatDay } from '../../lib/format.ts';
import {
  align,
  alignedLaunch,
  chosenCooks,
  layFrom,
  loadTrends,
  MAX_COMPARED,
  mostLaunches,
  toggleCook,
  type Align,
} from '../../stores/overlay.ts';
import { cooks, loadCooks } from '../../stores/past.ts';
import { Choice } from '../sheet/choice.tsx';
import { ComparisonChart } from './comparison-chart.tsx';
import { Season } from './season.tsx';

const ALIGN_WORDS: readonly (readonly [Align, string])[] = [
  ['lit', 'Fire lit'],
  ['band', 'Band entered'],
  ['launch', 'Launch'],
];

/** Two or more cooks over each other, and how the season goes. */
export function OverlayPage({ id }: { id: number | null }): JSX.Element {
  useEffect(() => {
    void loadCooks();
    void loadTrends();
    void layFrom(id);
  }, [id]);
  return (
    <div class="page overlay">
      <h1>Compare cooks</h1>
      <fieldset class="choices picks">
        <legend>Which cooks, up to {MAX_COMPARED}</legend>
        {cooks.value?.map((cook) => (
          <Pick key={cook.id} cook={cook} />
        ))}
      </fieldset>
      <Choice legend="Aligned at" name="align" options={ALIGN_WORDS} bind={align} testid="align" />
      {align.value === 'launch' && <WhichLaunch />}
      <ComparisonChart />
      <Season />
    </div>
  );
}

const WhichLaunch = (): JSX.Element => (
  <label class="which-launch">
    <span>Which launch</span>
    <select
      data-testid="aligned-launch"
      onChange={(event) => {
        alignedLaunch.value = Number(event.currentTarget.value);
      }}
    >
      {Array.from({ length: mostLaunches.value }, (_, i) => (
        <option key={i} value={i + 1} selected={alignedLaunch.value === i + 1}>
          {i + 1}
        </option>
      ))}
    </select>
  </label>
);

const Pick = ({ cook: { id, name, startedAt } }: { cook: CookRow }): JSX.Element => (
  <label class="choice">
    <input
      type="checkbox"
      checked={chosenCooks.value.includes(id)}
      disabled={chosenCooks.value.length >= MAX_COMPARED && !chosenCooks.value.includes(id)}
      onChange={() => void toggleCook(id)}
      data-testid="overlay-pick"
    />
    <span>
      {name || 'A cook'}, {formatDay(Date.parse(startedAt))}
    </span>
  </label>
);
