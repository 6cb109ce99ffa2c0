import type { ComponentChildren, JSX } from 'preact';
import { ALERT_KINDS } from '../../../shared/alert/kinds.ts';
import type { Now } from '../../../shared/api/live.ts';
import { capital, formatAge, formatClock, formatName, formatSpan, timeWriter } from '../../lib/format.ts';
import { partForTap } from '../../api.ts';
import {
  acknowledge,
  answerQuestion,
  attempt,
  changePizza,
  orderRun,
  unshelve,
} from '../../stores/act/acts.ts';
import type { Standing } from '../../stores/derive/calling-alerts.ts';
import type { Message } from '../../stores/derive/notices.ts';
import { orderOf } from '../../stores/derive/alert-headlines.ts';
import { NEXT_STAGE, waiting } from '../../stores/derive/pizza-countdowns.ts';
import { spoken, viewOf } from '../../stores/derive/headline-sentence.ts';
import { cookTime, now } from '../../stores/live.ts';
import { sheet } from '../../stores/screen.ts';
import { unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { Icon, type IconName } from '../icon/index.tsx';

/** One message with the key that answers it. */
export function MessageCard({ message }: { message: Message }): JSX.Element | null {
  if (message.kind === 'alert') return <AlertCard alert={message.alert} />;
  if (message.kind === 'question') return <Question question={message.question} />;
  if (message.kind === 'source') return <Broken source={message.source} />;
  if (message.kind === 'warning') return <Warning guide={message.guide} />;
  if (message.kind === 'prompt') return <Prompt prompt={message.prompt} />;
  if (message.kind === 'step') return <NextStep message={message} />;
  const { words, order } = message;
  return <Card keys={order && <Key does={() => void orderRun(order)}>Do so</Key>}>{words}</Card>;
}

type CardProps = {
  children: ComponentChildren;
  icon?: IconName;
  testid?: string;
  kind?: string;
  keys?: ComponentChildren;
};

const Card = ({ children, icon, testid, kind = '', keys }: CardProps): JSX.Element => (
  <div class={`message ${kind}`} data-testid={testid}>
    {icon && <Icon name={icon} size={26} />}
    <p>{children}</p>
    {keys}
  </div>
);

const Key = ({
  does,
  testid,
  children,
}: {
  does(): void;
  testid?: string;
  children: string;
}): JSX.Element => (
  <Button data-testid={testid} onClick={does}>
    {children}
  </Button>
);

const ASKED: Partial<Record<Now['questions'][number]['noticed'], string>> = {
  launch: 'Launched',
  off: 'Taken off',
  fuel: 'Charcoal added',
};

function Question({ question: { id, noticed, at } }: { question: Now['questions'][number] }): JSX.Element {
  const t = cookTime.value ?? 0;
  const what = ASKED[noticed] ?? capital(formatName(noticed));
  const next = noticed === 'launch' && now.value ? waiting(now.value)[0]?.name : undefined;
  const answer = (yes: boolean) => (): void => void answerQuestion(id, yes, what);
  const keys = (
    <>
      <Key does={answer(true)}>Yes</Key>
      <Key does={answer(false)}>No</Key>
    </>
  );
  return (
    <Card kind="asks" testid="question" keys={keys}>
      {next ? `${next}: launched` : what} {formatAge(t - at)} ago?
    </Card>
  );
}

/** What was seen is only named: the headline says the rest. */
function wordsOf(alert: Standing, t: number): string {
  const name = capital(formatName(alert.alert));
  if (alert.state === 'acknowledged') return `Seen: ${name}`;
  if (alert.state === 'returned') return `No longer so: ${name}`;
  return now.value ? spoken(orderOf(viewOf(now.value, unit.value, t), alert)) : name;
}

function AlertCard({ alert }: { alert: Standing }): JSX.Element {
  const t = cookTime.value ?? 0;
  const { alert: name, state, shelvedUntil } = alert;
  if (state === 'shelved')
    return (
      <Card icon="quiet" testid="alert-chip" keys={<Key does={() => void unshelve(name)}>Unmute</Key>}>
        {capital(formatName(name))}: quiet for {formatAge((shelvedUntil ?? t) - t)}
      </Card>
    );
  const isSeen = state === 'acknowledged';
  const look = (): void => {
    sheet.value = { kind: 'spot' };
  };
  const keys = (
    <>
      {ALERT_KINDS[name]?.look.asksForReading && <Key does={look}>Enter it</Key>}
      {!isSeen && (
        <Key testid="acknowledge" does={() => void acknowledge(name)}>
          Seen
        </Key>
      )}
    </>
  );
  return (
    <Card
      icon={isSeen ? 'check' : 'bell'}
      kind={isSeen ? '' : 'asks'}
      testid={isSeen ? 'alert-chip' : 'notice'}
      keys={keys}
    >
      {wordsOf(alert, t)}
    </Card>
  );
}

const Broken = ({ source: { source, problem, remedy } }: { source: Now['sources'][number] }): JSX.Element => (
  <Card icon="warning" kind="asks">
    <strong>{capital(source)}:</strong> {problem} {remedy}
  </Card>
);

/** Base and top that will not finish together. */
const Warning = ({ guide: { warning } }: { guide: Now['guides'][number] }): JSX.Element => (
  <Card kind="asks" testid="guide">
    <strong>{warning?.text}</strong> {warning?.cure}
  </Card>
);

function Prompt({
  prompt: { pizza, text, action, stage },
}: {
  prompt: NonNullable<Now['prompt']>;
}): JSX.Element {
  const next = stage === 'topped' ? null : NEXT_STAGE[stage];
  const keys = next && (
    <Key testid="prompt-done" does={() => void changePizza(pizza, { stage: next[0] })}>
      {next[1]}
    </Key>
  );
  return (
    <Card kind={action === 'wait' ? '' : 'hands'} testid="prompt" keys={keys}>
      {text}
    </Card>
  );
}

type Step = NonNullable<Now['plan']>['steps'][number];

/** Steps that the pizzas' own taps tell: they are not asked for here. */
const TAPPED_STEPS: readonly string[] = ['launch', 'turn', 'off', 'stretch'];

/** The plan's own code comes with its page; of it a step needs but this. */
const tickOff = async (step: Step): Promise<void> =>
  (await attempt('done', () => partForTap(import('../../stores/plan.ts'))))?.tick(step);

function NextStep({ message: { step, left, gives } }: { message: Message & { kind: 'step' } }): JSX.Element {
  const cook = now.value?.cook;
  const written =
    step.t !== null && cook?.rehearsal ? timeWriter(cook)(step.t) : formatClock(Date.parse(step.at));
  const keys = !TAPPED_STEPS.includes(step.step) && (
    <Key testid="next-done" does={() => void tickOff(step)}>
      Done
    </Key>
  );
  return (
    <Card testid="next-step" keys={keys}>
      <strong>{left > 30 ? `${written}, in ${formatSpan(left)}:` : 'Now:'}</strong> {step.text}
      {gives && <small> {gives}</small>}
    </Card>
  );
}
