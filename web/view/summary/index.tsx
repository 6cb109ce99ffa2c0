import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { CookDetail } from '../../../shared/api/api.ts';
import type { SummaryAnswer } from '../../../shared/evening/plan.ts';
import { call } from '../../api.ts';
import { formatDay } from '../../lib/format.ts';
import { savePicture } from '../../lib/plot/picture.ts';
import { attempt } from '../../stores/act/acts.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { NothingElse } from './nothing-else.tsx';

const summary = signal<{ id: number; summary: SummaryAnswer } | null>(null);

async function load(id: number): Promise<void> {
  const answer = await attempt(`summary ${id}`, () => call<SummaryAnswer>('GET', `/api/cooks/${id}/summary`));
  if (answer) summary.value = { id, summary: answer };
}

/** How it went in plain words, and what to change next time; told anew with each verdict. */
export function Summary({ cook }: { cook: CookDetail }): JSX.Element | null {
  const verdicts = cook.run.map(({ pizza }) => `${pizza.base} ${pizza.top}`).join();
  useEffect(() => void load(cook.id), [cook.id, verdicts]);
  if (summary.value?.id !== cook.id) return null;
  const { sentences, change, formula, setting } = summary.value.summary;
  const title = `${cook.name || 'A cook'}, ${formatDay(Date.parse(cook.startedAt))}`;
  return (
    <section class="summary" aria-label="How it went" data-testid="summary">
      <h2>How it went</h2>
      <p>{sentences.join(' ')}</p>
      {formula && <p>Made from: {formula}.</p>}
      <h3>Next time</h3>
      <ol data-testid="summary-change">
        {change.map(({ text, why }) => (
          <li key={text}>
            <strong>{text}</strong> {why}
          </li>
        ))}
      </ol>
      <NothingElse found={change.length} />
      {setting && <p>{setting}</p>}
      <div class="row no-print">
        <Button data-testid="print" onClick={() => print()}>
          <Icon name="note" /> Print
        </Button>
        <Button data-testid="picture" onClick={() => void savePicture(title)}>
          <RareIcon name="take" /> Picture of the curve
        </Button>
        <a class="button" href={`#/overlay/${cook.id}`}>
          <Icon name="past" /> Compare with others
        </a>
      </div>
    </section>
  );
}
