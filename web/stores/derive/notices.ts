import type { Now } from '../../../shared/api/live.ts';
import { ALERT_KINDS } from '../../../shared/alert/kinds.ts';
import { isAnswered } from './alert-headlines.ts';
import { viewOf } from './headline-sentence.ts';
import { isRunOver } from './pizza-countdowns.ts';
import { chipAlerts, type Standing } from './calling-alerts.ts';
import { HOLD_SECONDS } from './hold.ts';

/** What else wants to be read, beside the headline. Pure. */

type Guide = Now['guides'][number];
type Prompt = NonNullable<Now['prompt']>;
type Step = NonNullable<Now['plan']>['steps'][number];
type Source = Now['sources'][number];

export type Message = { id: string; isPressing: boolean } & (
  | { kind: 'alert'; alert: Standing }
  | { kind: 'question'; question: Now['questions'][number] }
  | { kind: 'source'; source: Source }
  | { kind: 'warning'; guide: Guide }
  | { kind: 'prompt'; prompt: Prompt }
  | { kind: 'step'; step: Step; left: number; gives: string | undefined }
  /** `order`: of the run, that it offers. */
  | { kind: 'words'; words: string; order?: string[] | undefined }
);

/** Further off than this, s, the next pizza's own mark says enough. */
const SOON_SECONDS = 7 * 60;
/** A step of the plan goes before what merely waits once it is so near, s. */
const NEAR_SECONDS = 5 * 60;

const wantsHands = ({ action, stage, launchAt }: Prompt, t: number): boolean =>
  action !== 'wait' || stage !== 'ball' || launchAt - t < SOON_SECONDS;

function stepOf({ plan }: Now): Message[] {
  const step = plan?.steps.find(({ id }) => id === plan.next);
  if (!plan || !step) return [];
  const left = (Date.parse(step.at) - Date.parse(plan.at)) / 1000;
  return [{ id: `step ${step.id}`, isPressing: false, kind: 'step', step, left, gives: plan.gives[0] }];
}

/**
 * The most urgent first.
 * @param t seconds of the cook
 * @param watched what is watched since somebody did it, null where nothing is
 * @param expected what the forecast and the guidance add, empty where they add nothing
 */
export function messagesOf(now: Now, t: number, watched: string | null, expected: string): Message[] {
  const { questions, alerts, guides, prompt, sources } = now;
  // Once all is baked nothing rests on a stone that is right: what is for baking alone asks for nothing any more.
  // Nor is what was seen and leads elsewhere since: an overshoot ahead of a stone that a pizza has cooled.
  const view = viewOf(now, 'C', t);
  const isWanted = ({ alert, state, why }: Standing): boolean =>
    (!isRunOver(now) || !ALERT_KINDS[alert]?.isForBaking) &&
    !(state === 'acknowledged' && ALERT_KINDS[alert] && isAnswered(view, alert, why));
  const chips = chipAlerts(alerts)
    .filter(isWanted)
    .map((alert): Message => ({
      id: `alert ${alert.alert} ${alert.pizza ?? ''}`,
      isPressing: alert.state === 'unacknowledged',
      kind: 'alert',
      alert,
    }));
  const hands: Message[] =
    prompt && wantsHands(prompt, t)
      ? [{ id: `prompt ${prompt.pizza} ${prompt.stage}`, isPressing: false, kind: 'prompt', prompt }]
      : [];
  const step = stepOf(now);
  const isNear = step.some((message) => message.kind === 'step' && message.left < NEAR_SECONDS);
  return [
    ...chips.filter(({ isPressing }) => isPressing),
    ...questions.map((question): Message => ({
      id: `question ${question.id}`,
      isPressing: true,
      kind: 'question',
      question,
    })),
    ...sources
      .filter(({ state, problem }) => state === 'failed' && problem)
      .map((source): Message => ({
        id: `source ${source.source}`,
        isPressing: false,
        kind: 'source',
        source,
      })),
    ...guides
      .filter(({ warning }) => warning)
      .map((guide): Message => ({ id: `warning ${guide.pizza}`, isPressing: false, kind: 'warning', guide })),
    ...words('watched', watched),
    ...(isNear ? [...step, ...hands] : [...hands, ...step]),
    ...words('order', now.run?.text, now.run?.order?.pizzas),
    ...chips.filter(({ isPressing }) => !isPressing),
    ...words('expected', expected),
  ];
}

const words = (id: string, text: string | null | undefined, order?: string[]): Message[] =>
  text ? [{ id, isPressing: false, kind: 'words', words: text, order }] : [];

/** What stands in the slot: which message, and since when, s of the cook. */
export type Slot = { id: string; since: number };

/** Which message to show: the first, unless the one that stands there still holds and has not had its time. Pure. */
export function slotOf(before: Slot | null, messages: readonly Message[], t: number): Slot | null {
  const first = messages[0];
  if (!first) return null;
  if (before?.id === first.id) return before;
  const stands = messages.some(({ id }) => id === before?.id);
  if (before && stands && !first.isPressing && t >= before.since && t - before.since < HOLD_SECONDS)
    return before;
  return { id: first.id, since: t };
}
