import { go } from '../lib/router.ts';
import { endCook, rehearse } from './act/acts.ts';
import { asked } from './act/ask.ts';
import { cookId, now } from './live.ts';

/** Ends the cook once it was asked, and leads to how it went. A rehearsal is only left, and leads there if anything was baked. */
export function endEvening(): void {
  const cook = now.peek()?.cook;
  if (!cook) return;
  if (cook.rehearsal) {
    const isBaked = now.peek()?.pizzas.some(({ launchedAt }) => launchedAt !== null) ?? false;
    return void rehearse({ do: 'leave' }).then(
      (left) => left !== null && isBaked && go(`#/ended/${cook.id}`),
    );
  }
  const waits = now.peek()?.pizzas.filter(({ launchedAt }) => launchedAt === null).length ?? 0;
  asked.value = {
    title: 'End the evening?',
    text: `${waits > 0 ? `${waits === 1 ? 'A pizza waits' : `${waits} pizzas wait`} still. ` : ''}Shut both vents first, and see that the stone is empty.`,
    why: 'The coals stay hot for days: the grill stays outside, the ash in it until it has been cold for 48 h.',
    yes: 'End it',
    act: () => void endCook(cook.id).then((ended) => ended !== null && go(`#/ended/${cook.id}`)),
    still: () => cookId.value === cook.id,
  };
}
