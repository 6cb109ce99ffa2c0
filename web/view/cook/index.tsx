import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { CookDetail } from '../../../shared/api/api.ts';
import { formatClock, formatDay, formatSpan } from '../../lib/format.ts';
import { go } from '../../lib/router.ts';
import { deleteCook, isMissing, opened, openCook, outcome, patchCook } from '../../stores/past.ts';
import { Button } from '../button/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { CookMarks } from './marks.tsx';
import { CookRun } from './run-review.tsx';
import { Study } from './study.tsx';
import { Written } from './written.tsx';
import { lazy } from '../shell/lazy.tsx';

const Summary = lazy(async () => (await import('../summary/index.tsx')).Summary);

export function CookPage({ id }: { id: number }): JSX.Element {
  useEffect(() => void openCook(id), [id]);
  const cook = opened.value;
  if (!cook || cook.id !== id)
    return (
      <div class="page">
        <h1>Cook {id}</h1>
        <p>
          {isMissing.value ? 'It could not be fetched.' : 'Fetching it …'} <a href="#/past">All past cooks</a>
        </p>
      </div>
    );
  return (
    <div class="page cook">
      <Head cook={cook} />
      <Study cook={cook} />
      <Summary cook={cook} />
      <CookRun cook={cook} />
      <Notes cook={cook} />
      <CookMarks cook={cook} />
      <Files cook={cook} />
    </div>
  );
}

function Head({ cook }: { cook: CookDetail }): JSX.Element {
  const { id, name, startedAt, seconds, rehearsal, isExample } = cook;
  const start = Date.parse(startedAt);
  return (
    <header class="page-head">
      <div>
        <h1 class="visually-hidden">{name || `Cook ${id}`}</h1>
        <Name cook={cook} />
        <p class="cook-facts">
          {formatDay(start)}, {formatClock(start)} · {formatSpan(seconds)} · {outcome(cook)}
          {isExample ? ' · synthetic example' : rehearsal && ' · rehearsal'}
        </p>
      </div>
    </header>
  );
}

function Files({ cook }: { cook: CookDetail }): JSX.Element {
  const remove = async (): Promise<void> => {
    await deleteCook(cook);
    go('#/past');
  };
  return (
    <section class="no-print">
      <h2>Files</h2>
      <div class="row">
        <a class="button" href={`/api/cooks/${cook.id}/export?format=jsonl`} download>
          <RareIcon name="take" /> Recording
        </a>
        <a class="button" href={`/api/cooks/${cook.id}/export?format=csv&recording=no`} download>
          <RareIcon name="take" /> Table (CSV)
        </a>
        <Button onClick={() => void remove()}>
          <RareIcon name="bin" /> Delete
        </Button>
      </div>
    </section>
  );
}

/** The name is changed where it stands. */
const Name = ({ cook: { id, name } }: { cook: CookDetail }): JSX.Element => (
  <input
    class="cook-name"
    type="text"
    aria-label="Name of this cook"
    placeholder="Name of this cook"
    maxLength={200}
    value={name}
    onChange={(event) => void patchCook(id, { name: event.currentTarget.value.trim() })}
  />
);

const Notes = ({ cook: { id, notes } }: { cook: CookDetail }): JSX.Element => (
  <section>
    <h2>Notes</h2>
    <Written
      key={id}
      label="Notes"
      value={notes}
      most={20_000}
      rows={4}
      testid="cook-notes"
      onStore={(text) => patchCook(id, { notes: text })}
    />
  </section>
);
