import type { JSX } from 'preact';
import type { Now } from '../../../shared/live.ts';
import { capital, formatAge, formatName } from '../../lib/format.ts';
import { acknowledge, answerQuestion, unshelve } from '../../stores/acts.ts';
import { inStrip, type Standing } from '../../stores/alerts.ts';
import { steady } from '../../lib/steady.ts';
import { cookTime, now } from '../../stores/live.ts';
import { orderOf } from '../../stores/orders.ts';
import { spoken, viewOf } from '../../stores/say.ts';
import { unit } from '../../stores/settings.ts';
import { Icon } from '../icon/index.tsx';

const shown = steady(() => {
  const document = now.value;
  return (
    document && {
      questions: document.questions,
      alerts: inStrip(document.alerts),
      broken: document.sources.filter((s) => s.state === 'failed' && s.problem),
    }
  );
});

/** One thin row between sentence and line: what asks lightly, what was seen and still stands, what is broken. */
export function Strip(): JSX.Element | null {
  if (!shown.value) return null;
  const { questions, alerts, broken } = shown.value;
  return (
    <div class="strip">
      {questions.map((q) => (
        <Question key={q.id} question={q} />
      ))}
      {alerts.map((alert) => (
        <AlertChip key={alert.alert + (alert.pizza ?? '')} alert={alert} />
      ))}
      {broken.map(({ source, problem, mend }) => (
        <p key={source} class="strip-item">
          <Icon name="warning" /> <strong>{capital(source)}:</strong> {problem} {mend}
        </p>
      ))}
    </div>
  );
}

const ASKED: Partial<Record<Now['questions'][number]['noticed'], string>> = {
  launch: 'Launched',
  off: 'Taken off',
  fuel: 'Charcoal added',
};

function Question({ question: { id, noticed, at } }: { question: Now['questions'][number] }): JSX.Element {
  const t = cookTime.value ?? 0;
  const what = ASKED[noticed] ?? capital(formatName(noticed));
  return (
    <div class="strip-item question" role="group" aria-label="Question" data-testid="question">
      <span>
        {what} {formatAge(t - at)} ago?
      </span>
      <button type="button" class="button" onClick={() => void answerQuestion(id, true, what)}>
        Yes
      </button>
      <button type="button" class="button" onClick={() => void answerQuestion(id, false, what)}>
        No
      </button>
    </div>
  );
}

/** What was seen is only named: the sentence says the rest. */
function wordsOf(alert: Standing, t: number): string {
  const name = capital(formatName(alert.alert));
  if (alert.state === 'acknowledged') return `Seen: ${name}`;
  if (alert.state === 'returned') return `Over now: ${name}`;
  return now.value ? spoken(orderOf(viewOf(now.value, unit.value, t), alert)) : name;
}

function AlertChip({ alert }: { alert: Standing }): JSX.Element {
  const t = cookTime.value ?? 0;
  const { alert: name, state, shelvedUntil } = alert;
  if (state === 'shelved')
    return (
      <div class="strip-item" data-testid="alert-chip">
        <Icon name="quiet" />
        <span>
          {capital(formatName(name))}: quiet for {formatAge((shelvedUntil ?? t) - t)}
        </span>
        <button type="button" class="button" onClick={() => void unshelve(name)}>
          Loud again
        </button>
      </div>
    );
  const unseen = state !== 'acknowledged';
  return (
    <div class={`strip-item ${unseen ? 'unseen' : ''}`} data-testid={unseen ? 'notice' : 'alert-chip'}>
      <Icon name={unseen ? 'bell' : 'check'} />
      <span>{wordsOf(alert, t)}</span>
      {unseen && (
        <button type="button" class="button" data-testid="acknowledge" onClick={() => void acknowledge(name)}>
          Seen
        </button>
      )}
    </div>
  );
}
