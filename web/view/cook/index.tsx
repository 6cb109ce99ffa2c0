import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { CookDetail } from '../../../shared/api/api.ts';
import { formatClock, formatDay, formatSpan, capital, formatCount, timeWriter } from '../../lib/format.ts';
import { go } from '../../lib/router.ts';
import { deleteCook, isMissing, opened, openCook, outcome, patchCook } from '../../stores/past.ts';
import { Button } from '../button/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { CookRun } from './run-review.tsx';
import { Study } from './study.tsx';
import { Written } from './written.tsx';
import { lazy } from '../shell/lazy.tsx';
import { useSignal } from '@preact/signals';
import { countsOf, partsOf, type Kind, type Part } from '../../stores/study/happened.ts';
import { Mark } from './mark.tsx';

/** Everything that happened, folded by pizza; one kind of it where only that is looked for. */
function CookMarks({ cook }: { cook: CookDetail }): JSX.Element {
  const kind = useSignal<Kind | null>(null);
  const parts = partsOf(cook, kind.value);
  return (
    <section class="happened">
      <h2>What happened</h2>
      {cook.marks.length === 0 && <p>Nothing was marked.</p>}
      <div class="kinds" role="group" aria-label="Kind">
        <KindKey kind={null} count={cook.marks.length} chosen={kind} />
        {countsOf(cook.marks).map(([lane, count]) => (
          <KindKey key={lane} kind={lane} count={count} chosen={kind} />
        ))}
      </div>
      {parts.map((part) => (
        <Fold key={`${part.pizza} ${kind.value}`} cook={cook} part={part} isOpen={kind.value !== null} />
      ))}
    </section>
  );
}

type KindKeyProps = { kind: Kind | null; count: number; chosen: { value: Kind | null } };

const KindKey = ({ kind, count, chosen }: KindKeyProps): JSX.Element => (
  <button
    type="button"
    class="chip"
    aria-pressed={chosen.value === kind}
    data-testid={`kind-${kind ?? 'all'}`}
    onClick={() => {
      chosen.value = kind;
    }}
  >
    {capital(kind ?? 'all')} <small>{count}</small>
  </button>
);

const Fold = ({ cook, part, isOpen }: { cook: CookDetail; part: Part; isOpen: boolean }): JSX.Element => (
  <details class="fold" open={isOpen} data-testid="fold">
    <summary>
      <strong>{part.pizza === 0 ? 'Before the first pizza' : `${part.pizza} ${part.name}`}</strong>{' '}
      <span>
        from {timeWriter(cook)(Math.max(0, part.from))}, {formatCount(part.marks.length, 'mark')}
      </span>
    </summary>
    <ol class="marks">
      {part.marks.map((mark) => (
        <Mark key={mark.id} cook={cook} mark={mark} />
      ))}
    </ol>
  </details>
);

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
