import { SAME_LAUNCH_SECONDS } from '../../../shared/cook/bakes.ts';
import { isOnStone, isWaiting } from '../../../shared/cook/run.ts';
import { happenedAt } from '../../../shared/cook/happened-at.ts';
import type { EngineView } from '../../../shared/engine.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { CookEvent, CookEventName } from '../../../shared/event.ts';
import { ASK_WITHIN_SECONDS, type RunningCook } from '../live/running.ts';

/** What was noticed and neither confirmed nor denied for so long is taken for so, s: of a launch, before a turn is due. */
const TAKEN_FOR_SO_AFTER = 150;
/** Where nobody measures the stone, only what is at least so probable: else it is asked about until the next look tells. */
const SURE_PROBABILITY = 0.9;

type Yes = Extract<CookEvent, { event: 'answer' }>;

/**
 * The answer that the launch which was noticed, and which nobody tapped, was that of this pizza; null where none was.
 * @param pizza its id
 */
export function launchNoticed(cook: RunningCook, pizza: string): Yes | null {
  const guess = cook.view().onStone.find((lying) => lying.pizza === null);
  if (!guess || cook.pizzas.some(isOnStone)) return null;
  const { launchedAt } = guess;
  const isOf = ({ noticed, at }: RunningCook['questions'][number]): boolean =>
    noticed === 'launch' && Math.abs(at - launchedAt) < SAME_LAUNCH_SECONDS;
  const at = cook.questions.find(isOf)?.at ?? launchedAt;
  return { event: 'answer', noticed: 'launch', at, yes: true, pizza };
}

/** The answer that the off which was noticed, and which nobody tapped, was that of the last pizza put on; null where none was. */
function offNoticed({ questions, pizzas }: RunningCook): Yes | null {
  const at = questions.find(({ noticed }) => noticed === 'off')?.at;
  const lying = pizzas
    .filter((pizza) => isOnStone(pizza) && (pizza.launchedAt ?? 0) < (at ?? 0))
    .sort((a, b) => (b.launchedAt ?? 0) - (a.launchedAt ?? 0))[0];
  return at !== undefined && lying
    ? { event: 'answer', noticed: 'off', at, yes: true, pizza: lying.id }
    : null;
}

/** What is taken for granted at `t`, s: who has floury hands forgets a tap, of the next of the run or of the last one put on. */
export function supposed(cook: RunningCook, t: number): Yes | null {
  const next = cook.pizzas.find(isWaiting);
  const launch = next && !cook.rehearsal ? launchNoticed(cook, next.id) : null;
  const isMeasured = stoneOf(cook)?.isEstimate === false;
  const isSo = (answer: Yes | null): answer is Yes =>
    answer !== null &&
    t - answer.at > TAKEN_FOR_SO_AFTER &&
    (isMeasured || probabilityOf(cook, answer) >= SURE_PROBABILITY) &&
    !isTakenBack(cook, answer);
  return [offNoticed(cook), launch].find(isSo) ?? null;
}

const probabilityOf = ({ questions }: RunningCook, { noticed, at }: Yes): number =>
  questions.find((question) => question.noticed === noticed && question.at === at)?.confidence ?? 0;

function stoneOf(cook: RunningCook): EngineView['channels'][string] | undefined {
  const stone = cook.header.channels.find(({ role }) => role === 'stone');
  return stone && cook.view().channels[stone.id];
}

const isTakenBack = ({ events }: RunningCook, { noticed, at }: Yes): boolean =>
  events.some(
    ({ event, undone }) => undone && event.event === 'answer' && event.noticed === noticed && event.at === at,
  );

/** A lid that went up is asked about once what it was opened for would have been typed in or tapped, s. Ours. */
const LID_ASKED_AFTER = 40;
/** Nobody launches onto a stone further below its band than this, °C; and what a lid was opened for is tapped so long before it at most, s. */
const LAUNCHED_WITHIN_CELSIUS = 25;
const TAPPED_BEFORE_SECONDS = 20;
const LID_TAPS: ReadonlySet<CookEventName | 'look'> = new Set([
  'launch',
  'turn',
  'off',
  'look',
  'fuel',
  'lid-open',
]);

type Question = Now['questions'][number];

/** What is asked at `t`, s. */
export function openQuestions(cook: RunningCook, t: number): Question[] {
  const open = cook.questions.filter((question) => !isLookedAt(cook, question));
  const lid = lidQuestion(cook, t);
  const isAsked = open.some(
    ({ noticed, at }) => noticed === 'launch' && lid !== null && Math.abs(at - lid.at) < SAME_LAUNCH_SECONDS,
  );
  return lid && !isAsked ? [...open, lid] : open;
}

/** Whoever looked at the stone through the lid that went up then found it free. */
const isLookedAt = (cook: RunningCook, { noticed, at }: Question): boolean =>
  noticed === 'launch' &&
  stoneOf(cook)?.isEstimate === true &&
  cook.events.some(
    ({ t, event, undone }) =>
      !undone && event.event === 'look' && t > at - TAPPED_BEFORE_SECONDS && t < at + SAME_LAUNCH_SECONDS,
  );

/** Where nobody measures the stone, a lid that went up while a pizza waited may have been its launch. */
function lidQuestion(cook: RunningCook, t: number): Question | null {
  if (cook.rehearsal || cook.pizzas.some(isOnStone) || !cook.pizzas.some(isWaiting)) return null;
  const lid = cook.outputs.findLast((output) => output.type === 'noticed' && output.event === 'lid-open');
  if (lid?.type !== 'noticed' || t < lid.at + LID_ASKED_AFTER || t > lid.at + ASK_WITHIN_SECONDS) return null;
  const estimate = stoneOf(cook);
  const isHot = (estimate?.celsius ?? -Infinity) > cook.targets.stone[0] - LAUNCHED_WITHIN_CELSIUS;
  const isSaid = cook.events.some(({ t: tappedAt, event, undone }) =>
    event.event === 'answer'
      ? event.noticed === 'launch' && Math.abs(event.at - lid.at) < SAME_LAUNCH_SECONDS
      : !undone && LID_TAPS.has(event.event) && happenedAt(tappedAt, event) > lid.at - TAPPED_BEFORE_SECONDS,
  );
  if (!estimate?.isEstimate || !isHot || isSaid) return null;
  return { id: `launch@${lid.at}`, noticed: 'launch', at: lid.at, confidence: 0.5 };
}
