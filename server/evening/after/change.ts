import { differenceText, type Unit } from '../../../shared/units.ts';
import type { Verdict } from '../../../shared/words.ts';
import { middleOf, type Baked, type CookFigures } from './figures.ts';

/** One thing to change next time, with the figures that say so. */
export type Change = { text: string; why: string };
type Weighed = Change & { weight: number };

/** How many pizzas came out so, base and top. */
const share = (pizzas: readonly Baked[], base: Verdict, top: Verdict): number =>
  pizzas.filter((each) => each.base === base && each.top === top).length;

const of = (n: number, pizzas: readonly Baked[]): string => `${n} of ${pizzas.length} pizzas`;

function partedBakes({ pizzas, gapMm }: CookFigures): Weighed[] {
  const baseAhead =
    share(pizzas, 'scorched', 'pale') + share(pizzas, 'scorched', 'right') + share(pizzas, 'right', 'pale');
  const topAhead =
    share(pizzas, 'pale', 'scorched') + share(pizzas, 'right', 'scorched') + share(pizzas, 'pale', 'right');
  const gap = gapMm === null ? 'the gap under the stone' : `the gap of ${gapMm} mm under the stone`;
  if (baseAhead > topAhead && baseAhead >= 2)
    return [
      {
        text: `Widen ${gap}, or launch with the stone lower in its band.`,
        why: `On ${of(baseAhead, pizzas)} the base ran ahead of the top.`,
        weight: 3 * baseAhead,
      },
    ];
  if (topAhead > baseAhead && topAhead >= 2)
    return [
      {
        text: `Narrow ${gap}, or close the vents a little before the first launch so that the dome comes down.`,
        why: `On ${of(topAhead, pizzas)} the top ran ahead of the base.`,
        weight: 3 * topAhead,
      },
    ];
  return [];
}

function bakeTimes({ pizzas }: CookFigures): Weighed[] {
  const dark = share(pizzas, 'scorched', 'scorched');
  const pale = share(pizzas, 'pale', 'pale');
  const late = middleOf(
    pizzas.map(({ bakeSeconds, offAfter }) => (bakeSeconds === null ? null : bakeSeconds - offAfter)),
  );
  if (dark > pale && late !== null && late > 30)
    return [
      {
        text: 'Take them off when the call comes.',
        why: `They came off ${Math.round(late)} s after it, and ${of(dark, pizzas)} scorched all over.`,
        weight: 3 * dark,
      },
    ];
  if (dark > pale)
    return [
      { text: 'Take them off sooner.', why: `${of(dark, pizzas)} scorched on both sides.`, weight: 3 * dark },
    ];
  if (pale > dark)
    return [
      {
        text: 'Leave them on for longer.',
        why: `${of(pale, pizzas)} stayed pale on both sides.`,
        weight: 3 * pale,
      },
    ];
  return [];
}

/** An overshoot below this, °C, is as good as anyone does (common practice, no source). */
const OVERSHOOT = 10;
function overshoot({ peakStone, stone }: CookFigures, unit: Unit): Weighed[] {
  const over = (peakStone ?? 0) - stone[1];
  if (over <= OVERSHOOT) return [];
  return [
    {
      text: `Close the vents sooner: about ${differenceText(Math.round((over * 1.5) / 5) * 5, unit)} earlier on the way up.`,
      why: `The stone ran ${differenceText(over, unit)} over its band before the first pizza.`,
      weight: over / 8,
    },
  ];
}

function lateStart({ firstLaunchAt, plannedLaunchAt, readyAt }: CookFigures): Weighed[] {
  if (firstLaunchAt === null || plannedLaunchAt === null) return [];
  const late = Math.round((firstLaunchAt - plannedLaunchAt) / 60);
  if (late < 10) return [];
  const slowFire = readyAt !== null && readyAt > plannedLaunchAt;
  const text = slowFire
    ? `Light the fire ${late} min sooner.`
    : `Have dough and toppings ready ${late} min sooner.`;
  const why = slowFire
    ? `The stone was ready ${Math.round((readyAt - plannedLaunchAt) / 60)} min after the planned launch.`
    : `The stone waited; the first pizza came ${late} min late.`;
  return [{ text, why, weight: late / 10 }];
}

/** A recovery longer than this, s, keeps guests waiting (common practice, no source). */
const SLOW_BAKE_SECONDS = 420;
function slowRecovery({ pizzas }: CookFigures): Weighed[] {
  const back = middleOf(pizzas.map(({ recoverySeconds }) => recoverySeconds));
  if (back === null || back <= SLOW_BAKE_SECONDS) return [];
  return [
    {
      text: 'Open the vents a little as each pizza goes on, and shut the lid quickly.',
      why: `The stone took ${Math.round(back / 60)} min to recover.`,
      weight: back / 240,
    },
  ];
}

/** Lid open for longer than this a pizza, s: launch, turn and off take about a minute (common practice, no source). */
const LID = 90;
function openLid({ pizzas, lidOpenSeconds }: CookFigures): Weighed[] {
  const each = lidOpenSeconds / Math.max(1, pizzas.length);
  if (pizzas.length === 0 || each <= LID) return [];
  return [
    {
      text: 'Keep the lid open for less: everything at hand before it goes up.',
      why: `It stood open for ${Math.round(each)} s a pizza.`,
      weight: each / 90,
    },
  ];
}

function unrated({ pizzas }: CookFigures): Weighed[] {
  const none = pizzas.length > 0 && pizzas.every(({ base, top }) => base === null && top === null);
  if (!none) return [];
  return [
    {
      text: 'Tap how base and top came out: the times learn from it.',
      why: 'No pizza of this cook was judged.',
      weight: 0.5,
    },
  ];
}

/** Everything worth changing, weightiest first; the weights are our own sense of what spoils an evening. */
export const changesFor = (cook: CookFigures, unit: Unit): Change[] =>
  [partedBakes, bakeTimes, overshoot, lateStart, slowRecovery, openLid, unrated]
    .flatMap((rule) => rule(cook, unit))
    .sort((a, b) => b.weight - a.weight)
    .map(({ text, why }) => ({ text, why }));
