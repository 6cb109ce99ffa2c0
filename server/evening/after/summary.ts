import { medianOf } from '../../../shared/statistics/median.ts';
import { differenceText, type Unit } from '../../../shared/units.ts';
import { changesFor } from './what-to-change.ts';
import type { Change, CookFigures } from './figures.ts';

export type Summary = { sentences: string[]; change: Change[] };

const minutes = (seconds: number): number => Math.round(seconds / 60);
const count = (n: number, noun: string, plural = `${noun}s`): string => `${n} ${n === 1 ? noun : plural}`;
const list = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;

function fireSentence({ litAt, readyAt, stone, peakStone }: CookFigures, unit: Unit): string[] {
  if (litAt === null || readyAt === null) return [];
  const over = (peakStone ?? 0) - stone[1];
  const tail = over > 3 ? `, after it had run ${differenceText(over, unit)} over its band` : '';
  return [`The stone was ready ${minutes(readyAt - litAt)} min after the fire was lit${tail}.`];
}

function planSentence({ firstLaunchAt, plannedLaunchAt }: CookFigures): string[] {
  if (firstLaunchAt === null || plannedLaunchAt === null) return [];
  const late = minutes(firstLaunchAt - plannedLaunchAt);
  if (Math.abs(late) < 3) return ['The first pizza went on when the plan had it.'];
  return [`The first pizza went on ${Math.abs(late)} min ${late > 0 ? 'later' : 'sooner'} than planned.`];
}

function verdictSentence({ pizzas, seenLaunches }: CookFigures): string[] {
  if (pizzas.length === 0)
    return [
      seenLaunches === 0
        ? 'No pizza was baked.'
        : `No pizza was entered; the curves look like ${count(seenLaunches, 'launch', 'launches')}.`,
    ];
  const rated = pizzas.filter(({ base, top }) => base !== null || top !== null);
  const of = count(pizzas.length, 'pizza');
  if (rated.length === 0) return [`${of}, ${pizzas.length === 1 ? 'not' : 'none of them'} judged.`];
  const right = rated.filter(
    ({ base, top }) => (base ?? 'right') === 'right' && (top ?? 'right') === 'right',
  ).length;
  const odd = (['base', 'top'] as const).flatMap((side) =>
    (['pale', 'scorched'] as const).flatMap((verdict) => {
      const n = rated.filter((each) => each[side] === verdict).length;
      return n ? [`${count(n, side)} ${verdict}`] : [];
    }),
  );
  return [`${of}: ${right} of ${rated.length} judged came out right${odd.length ? `; ${list(odd)}` : ''}.`];
}

function stoneSentence({ pizzas }: CookFigures, unit: Unit): string[] {
  const drop = medianOf(pizzas.map(({ drawDown }) => drawDown));
  const back = medianOf(pizzas.map(({ recoverySeconds }) => recoverySeconds));
  if (drop === null) return [];
  const tail = back === null ? '' : `; it was back after about ${Math.max(1, minutes(back))} min`;
  return [`A pizza drew the stone down by about ${differenceText(drop, unit)}${tail}.`];
}

function endSentence({ charcoalGrams, litAt, shutAt }: CookFigures): string[] {
  if (litAt === null || shutAt === null) return [];
  const coal = charcoalGrams === null ? '' : ` on ${(charcoalGrams / 1000).toFixed(1)} kg of charcoal`;
  return [`The fire burnt for ${((shutAt - litAt) / 3600).toFixed(1)} h${coal}.`];
}

/** The cook in plain words, with at most three things to change next time, the weightiest first. */
export const summarise = (cook: CookFigures, unit: Unit = 'C'): Summary => ({
  sentences: [
    ...fireSentence(cook, unit),
    ...planSentence(cook),
    ...verdictSentence(cook),
    ...stoneSentence(cook, unit),
    ...endSentence(cook),
  ],
  change: changesFor(cook, unit).slice(0, 3),
});
