import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { CookDetail } from '../../../shared/api/api.ts';
import { capital, formatCount, timeWriter } from '../../lib/format.ts';
import { countsOf, partsOf, type Kind, type Part } from '../../stores/study/happened.ts';
import { Mark } from './mark.tsx';

/** Everything that happened, folded by pizza; one kind of it where only that is looked for. */
export function CookMarks({ cook }: { cook: CookDetail }): JSX.Element {
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
