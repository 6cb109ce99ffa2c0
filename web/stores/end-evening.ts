import { go } from '../lib/router.ts';
import { rehearse } from './act/acts.ts';
import { endCook } from './act/later-acts.ts';
import { asked } from './act/ask.ts';
import { cookId, now } from './live.ts';

/** Ends the cook once it was asked, and leads to how it went. A rehearsal is only left, and leads there if anything was baked. */
export function endEvening(): void {
  const live = now.peek();
  if (!live?.cook) return;
  const { cook, pizzas, isOver, lidHazard } = live;
  if (cook.rehearsal) {
    const isBaked = pizzas.some(({ launchedAt }) => launchedAt !== null);
    return void rehearse({ do: 'leave' }).then(
      (left) => left !== null && isBaked && go(`#/ended/${cook.id}`),
    );
  }
  const waits = pizzas.filter(({ launchedAt }) => launchedAt === null).length;
  const stillWaits = waits > 0 ? `${waits === 1 ? 'A pizza waits' : `${waits} pizzas wait`} still.` : '';
  // A look at the stone takes the lid up: never over vents that are shut.
  const shut = isOver
    ? 'Both vents shut, lid down?'
    : [lidHazard?.text, 'See that the stone is empty, then shut both vents.'].filter(Boolean).join(' ');
  asked.value = {
    title: 'End the evening?',
    text: [stillWaits, shut].filter(Boolean).join(' '),
    why: 'The coals stay hot for days: the grill stays outside, the ash in it until it has been cold for 48 h.',
    yes: 'End it',
    act: () => void endCook(cook.id).then((ended) => ended !== null && go(`#/ended/${cook.id}`)),
    still: () => cookId.value === cook.id,
  };
}
