import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { SummaryAnswer } from '../../../shared/evening/plan.ts';
import { call } from '../../api.ts';
import { attempt } from '../../stores/act/acts.ts';
import { figureOf } from '../../stores/derive/curve/figure.ts';
import { cooks, loadCooks } from '../../stores/past.ts';
import { Icon } from '../icon/index.tsx';
import { NothingElse } from '../summary/nothing-else.tsx';

/** How the evening went, once it is ended: what would make the next one better, each with its number. */
export function EndedPage({ id }: { id: number }): JSX.Element {
  const summary = useSignal<SummaryAnswer | null>(null);
  const load = async (): Promise<void> => {
    summary.value = await attempt(`summary ${id}`, () =>
      call<SummaryAnswer>('GET', `/api/cooks/${id}/summary`),
    );
  };
  useEffect(() => {
    void load();
    void loadCooks();
  }, [id]);
  const isRehearsal = cooks.value?.find((cook) => cook.id === id)?.rehearsal === true;
  return (
    <div class="page ended">
      <h1>How it went</h1>
      {isRehearsal && <p class="ended-rehearsal">Rehearsal: a recording, not your fire</p>}
      {summary.value ? <Sentences summary={summary.value} /> : <p role="status">Calculating …</p>}
      <p class="ended-caution">
        <Icon name="warning" /> The coals stay hot for days: leave the grill shut and outside.
      </p>
      <div class="row">
        <a class="button strong" href={`#/past/${id}`} data-testid="to-cook">
          <Icon name="past" /> The whole cook
        </a>
        <a class="button" href="#/plan">
          <Icon name="list" /> Plan the next one
        </a>
      </div>
    </div>
  );
}

const Sentences = ({ summary: { sentences, change, setting } }: { summary: SummaryAnswer }): JSX.Element => (
  <>
    <p class="ended-said">{sentences.join(' ')}</p>
    <h2>Next time</h2>
    <ol class="changes" data-testid="ended-change">
      {change.map(({ text, why }) => (
        <li key={text}>
          <span class="figure" aria-hidden="true">
            {figureOf(why)}
          </span>
          <strong>{text}</strong>
          <span>{why}</span>
        </li>
      ))}
    </ol>
    <NothingElse found={change.length} />
    {setting && <p>{setting}</p>}
  </>
);
