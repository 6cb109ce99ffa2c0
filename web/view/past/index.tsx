import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { CookRow } from '../../../shared/api/api.ts';
import { capital, formatClock, formatCount, formatDay, formatSpan } from '../../lib/format.ts';
import { go } from '../../lib/router.ts';
import {
  cooks,
  deleteCook,
  examplesArrive,
  importCook,
  loadCooks,
  outcome,
  removeExamples,
} from '../../stores/past.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { Deleted } from './deleted.tsx';

const VIEW_WIDTH = 240;
const VIEW_HEIGHT = 80;

type Points = readonly (readonly [number, number])[];

/** The curves of a cook, small, with the stone's band behind them. */
function Picture({ cook }: { cook: CookRow }): JSX.Element {
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

export function PastPage(): JSX.Element {
  useEffect(() => {
    void loadCooks();
    // Whoever looks at the list is about to open a cook, which draws.
    import('../cook/index.tsx').catch(() => {});
  }, []);
  const list = cooks.value;
  return (
    <div class="page past">
      <header class="page-head">
        <h1>Past cooks</h1>
        <div class="row">
          <a class="button" href="#/overlay" data-testid="to-overlay">
            <Icon name="past" /> Compare cooks
          </a>
          <Import />
        </div>
      </header>
      {list?.length === 0 && !examplesArrive.value && (
        <p>None yet: the first one is kept by itself when readings come.</p>
      )}
      {examplesArrive.value && <p role="status">Making three example cooks …</p>}
      {list?.some(({ isExample }) => isExample) && (
        <p class="row">
          <span>
            The examples are synthetic: made by a simulator, to look around in. They count for nothing.
          </span>
          <Button data-testid="remove-examples" onClick={() => void removeExamples()}>
            <RareIcon name="bin" /> Remove the examples
          </Button>
        </p>
      )}
      <ul class="cooks">
        {list?.flatMap((cook) => (cook.isEmpty ? [] : [<Row key={cook.id} cook={cook} />]))}
      </ul>
      <Empties list={list?.filter(({ isEmpty }) => isEmpty) ?? []} />
      <Deleted />
    </div>
  );
}

/** Probes that were left on: nothing of them is lost, and they are not in the way. */
const Empties = ({ list }: { list: readonly CookRow[] }): JSX.Element | null =>
  list.length === 0 ? null : (
    <details class="more" data-testid="past-empty">
      <summary>{formatCount(list.length, 'cook')} in which nothing happened</summary>
      <ul class="cooks">
        {list.map((cook) => (
          <Row key={cook.id} cook={cook} />
        ))}
      </ul>
    </details>
  );

function Row({ cook }: { cook: CookRow }): JSX.Element {
  const { id, name, startedAt, endedAt, rehearsal, seconds, isExample } = cook;
  const start = Date.parse(startedAt);
  return (
    <li class="cook-row" data-testid="past-row">
      <a href={`#/past/${id}`}>
        <Picture cook={cook} />
        <span class="cook-words">
          <strong>{name || 'A cook'}</strong>
          <span>
            {formatDay(start)}, {formatClock(start)} · {formatSpan(seconds)}
            {endedAt === null && ' · going on now'}
            {isExample ? ' · synthetic example' : rehearsal && ' · rehearsal'}
          </span>
          <span>{capital(outcome(cook))}</span>
        </span>
      </a>
      <Button
        look="plain"
        aria-label={`Delete ${name}`}
        data-testid="delete-cook"
        onClick={() => void deleteCook(cook)}
      >
        <RareIcon name="bin" /> Delete
      </Button>
    </li>
  );
}

function Import(): JSX.Element {
  const message = useSignal('');
  const gone = useSignal<number | null>(null);
  const take = async (input: HTMLInputElement): Promise<void> => {
    const file = input.files?.[0];
    if (!file) return;
    message.value = `Reading ${file.name} …`;
    const imported = await importCook(file, (share) => {
      gone.value = share;
    });
    gone.value = null;
    input.value = '';
    const skipped = imported?.skipped ?? [];
    message.value =
      skipped.length > 0
        ? `Imported; ${formatCount(imported?.bad ?? skipped.length, 'line')} could not be read, the first is ${skipped[0]?.number}: ${skipped[0]?.why}`
        : '';
    if (imported && skipped.length === 0) go(`#/past/${imported.id}`);
    else await loadCooks();
  };
  return (
    <div class="import">
      <label class="button file">
        <RareIcon name="bring" /> Import a recording
        <input
          type="file"
          accept=".jsonl,.ndjson,application/x-ndjson"
          data-testid="import"
          onChange={(event) => void take(event.currentTarget)}
        />
      </label>
      <p role="status">{message.value}</p>
      {gone.value !== null && (
        // All sent, the server goes through it: how long is not known.
        <progress
          aria-label="Import"
          max={1}
          {...(gone.value < 1 && { value: gone.value })}
          data-testid="import-progress"
        />
      )}
    </div>
  );
}
