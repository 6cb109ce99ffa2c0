import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { CookDetail } from '../../../shared/api.ts';
import { formatClock, formatDay, formatSpan } from '../../lib/format.ts';
import { go } from '../../lib/router.ts';
import { deleteCook, opened, openCook, outcome, patchCook } from '../../stores/past.ts';
import { Icon } from '../icon/index.tsx';
import { CookCurve } from './curve.tsx';
import { CookMarks } from './marks.tsx';
import { CookRun } from './run.tsx';
import { later } from '../shell/later.tsx';

const Summary = later(async () => (await import('../summary/index.tsx')).Summary);

export function CookPage({ id }: { id: number }): JSX.Element {
  useEffect(() => void openCook(id), [id]);
  const cook = opened.value;
  if (!cook || cook.id !== id)
    return (
      <div class="page">
        <h1>Cook {id}</h1>
        <p>
          Fetching it … <a href="#/past">All past cooks</a>
        </p>
      </div>
    );
  return (
    <div class="page cook">
      <Head cook={cook} />
      <Summary cook={cook} />
      <CookCurve cook={cook} />
      <CookRun cook={cook} />
      <Notes cook={cook} />
      <CookMarks cook={cook} />
    </div>
  );
}

function Head({ cook }: { cook: CookDetail }): JSX.Element {
  const { id, name, startedAt, seconds, rehearsal } = cook;
  const start = Date.parse(startedAt);
  const remove = async (): Promise<void> => {
    await deleteCook(cook);
    go('#/past');
  };
  return (
    <header class="page-head">
      <div>
        <h1 class="visually-hidden">{name || `Cook ${id}`}</h1>
        <Name cook={cook} />
        <p class="cook-facts">
          {formatDay(start)}, {formatClock(start)} · {formatSpan(seconds)} · {outcome(cook)}
          {rehearsal && ' · rehearsal'}
        </p>
      </div>
      <div class="row">
        <a class="button" href={`/api/cooks/${id}/export?format=jsonl`} download>
          <Icon name="take" /> Recording
        </a>
        <a class="button" href={`/api/cooks/${id}/export?format=csv`} download>
          <Icon name="take" /> Table (CSV)
        </a>
        <button type="button" class="button" onClick={() => void remove()}>
          <Icon name="bin" /> Delete
        </button>
      </div>
    </header>
  );
}

/** The name is changed where it stands. */
const Name = ({ cook: { id, name } }: { cook: CookDetail }): JSX.Element => (
  <input
    class="cook-name"
    type="text"
    aria-label="Name of this cook"
    maxLength={200}
    value={name}
    onChange={(event) => void patchCook(id, { name: event.currentTarget.value.trim() })}
  />
);

function Notes({ cook: { id, notes } }: { cook: CookDetail }): JSX.Element {
  const kept = useSignal(true);
  const keep = async (text: string): Promise<void> => {
    await patchCook(id, { notes: text });
    kept.value = true;
  };
  return (
    <section>
      <h2 id="cook-notes">Notes</h2>
      <textarea
        class="cook-notes"
        aria-labelledby="cook-notes"
        rows={4}
        maxLength={20_000}
        value={notes}
        onInput={() => {
          kept.value = false;
        }}
        onChange={(event) => void keep(event.currentTarget.value)}
      />
      <p role="status" class="cook-facts">
        {kept.value ? '' : 'Kept when you leave the field.'}
      </p>
    </section>
  );
}
