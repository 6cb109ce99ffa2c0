import { SAME_LAUNCH_SECONDS } from '../../../shared/cook/bakes.ts';
import { isOnStone, isWaiting } from '../../../shared/cook/run.ts';
import type { CookEvent } from '../../../shared/event.ts';
import type { RunningCook } from '../live/running.ts';

/** What was noticed and neither confirmed nor denied for so long is taken for so, s: of a launch, before a turn is due. */
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
  const isSo = (answer: Yes | null): answer is Yes =>
    answer !== null && t - answer.at > TAKEN_FOR_SO_AFTER && !isTakenBack(cook, answer);
  return [offNoticed(cook), launch].find(isSo) ?? null;
}

const isTakenBack = ({ events }: RunningCook, { noticed, at }: Yes): boolean =>
  events.some(
    ({ event, undone }) => undone && event.event === 'answer' && event.noticed === noticed && event.at === at,
  );
