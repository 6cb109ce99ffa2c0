import { SAME_LAUNCH_SECONDS } from '../../../shared/cook/bakes.ts';
import { isOnStone, isWaiting } from '../../../shared/cook/run.ts';
import type { CookEvent } from '../../../shared/event.ts';
import type { RunningCook } from '../live/running.ts';

/** A launch that was noticed and neither confirmed nor denied for so long is taken for one, s: before a turn is due. */
const TAKEN_FOR_SO_AFTER = 150;

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

/** What is taken for granted at `t`, s: who has floury hands forgets a tap, and the next of the run lies on the stone. */
export function supposed(cook: RunningCook, t: number): Yes | null {
  const next = cook.pizzas.find(isWaiting);
  const answer = next && !cook.rehearsal ? launchNoticed(cook, next.id) : null;
  return answer && t - answer.at > TAKEN_FOR_SO_AFTER && !isTakenBack(cook, answer) ? answer : null;
}

const isTakenBack = ({ events }: RunningCook, { at }: Yes): boolean =>
  events.some(({ event, undone }) => undone && event.event === 'answer' && event.at === at);
