import { medianOf } from '../../../shared/statistics/median.ts';
import { differenceText, type Unit } from '../../../shared/units.ts';
import type { Verdict } from '../../../shared/words.ts';
import { firePace, firstLaunch, launchesOutside, longOver, overshoot, waits } from './what-to-change-fire.ts';
import type { Baked, Change, CookFigures, Weighed } from './figures.ts';

/** How many pizzas came out so, base and top. */
const share = (pizzas: readonly Baked[], base: Verdict, top: Verdict): number =>
  pizzas.filter((each) => each.base === base && each.top === top).length;

const of = (n: number, pizzas: readonly Baked[]): string => `${n} of ${pizzas.length} pizzas`;

function partedBakes({ pizzas, gapMm }: CookFigures): Weighed | null {
  const baseAhead =
    share(pizzas, 'scorched', 'pale') + share(pizzas, 'scorched', 'right') + share(pizzas, 'right', 'pale');
  const topAhead =
    share(pizzas, 'pale', 'scorched') + share(pizzas, 'right', 'scorched') + share(pizzas, 'pale', 'right');
  const gap = gapMm === null ? 'the gap under the stone' : `the gap of ${gapMm} mm under the stone`;
  if (baseAhead > topAhead && baseAhead >= 2)
    return {
      text: `Widen ${gap}, or launch with the stone lower in its band.`,
      why: `On ${of(baseAhead, pizzas)} the base ran ahead of the top.`,
      weight: 3 * baseAhead,
    };
  if (topAhead > baseAhead && topAhead >= 2)
    return {
      text: `Narrow ${gap}, or close the vents a little before the first launch so that the dome comes down.`,
      why: `On ${of(topAhead, pizzas)} the top ran ahead of the base.`,
      weight: 3 * topAhead,
    };
  return null;
}

/** So long after the call a pizza is off late, s (our choice: lid, peel and board). */
const LATE_SECONDS = 30;

/** Each late pizza counts: a mean would be said of those that came off on the call too. @param late s, at least one */
function cameOff(late: readonly number[], of: number): string {
  const [least, most] = [Math.min(...late), Math.max(...late)].map(Math.round);
  const by = least === most ? `${least} s` : `${least} to ${most} s`;
  return late.length === of && of > 1
    ? `They came off ${by} after it`
    : `${late.length} of ${of} came off ${by} after it`;
}

function bakeTimes({ pizzas }: CookFigures): Weighed | null {
  const dark = share(pizzas, 'scorched', 'scorched');
  const pale = share(pizzas, 'pale', 'pale');
  const late = medianOf(
    pizzas.map(({ bakeSeconds, offAfter }) => (bakeSeconds === null ? null : bakeSeconds - offAfter)),
  );
  const isLate = late !== null && late > LATE_SECONDS;
  const after = pizzas.flatMap(({ bakeSeconds, offAfter }) =>
    bakeSeconds !== null && bakeSeconds - offAfter > LATE_SECONDS ? [bakeSeconds - offAfter] : [],
  );
  if (isLate && pale <= dark)
    return {
      text: 'Take them off when the call comes.',
      why: `${cameOff(after, pizzas.length)}${dark > 0 ? `, and ${of(dark, pizzas)} scorched all over` : ''}.`,
      weight: Math.max(3 * dark, late / 60),
    };
  if (dark > pale)
    return {
      text: 'Take them off sooner.',
      why: `${of(dark, pizzas)} scorched on both sides.`,
      weight: 3 * dark,
    };
  if (pale > dark)
    return {
      text: 'Leave them on for longer.',
      why: `${of(pale, pizzas)} stayed pale on both sides.`,
      weight: 3 * pale,
    };
  return null;
}

/** Launches further apart than this bake differently by the same clock, °C (our choice: half of a usual band). */
const LAUNCHES_APART_CELSIUS = 15;
function unevenLaunches({ pizzas }: CookFigures, unit: Unit): Weighed | null {
  const stones = pizzas.flatMap(({ stoneAtLaunch }) => stoneAtLaunch ?? []);
  const apart = Math.max(...stones) - Math.min(...stones);
  if (stones.length < 3 || apart <= LAUNCHES_APART_CELSIUS) return null;
  return {
    text: 'Launch each pizza at the same stone: the times then hold for all.',
    why: `The launches lay ${differenceText(apart, unit)} apart.`,
    weight: apart / 20,
  };
}

/** Lid open for longer than this a pizza, s: launch, turn and off take about a minute (common practice, no source). */
const LID_SECONDS_PER_PIZZA = 90;
function openLid({ pizzas, lidOpenSeconds }: CookFigures): Weighed | null {
  const each = lidOpenSeconds / Math.max(1, pizzas.length);
  if (pizzas.length === 0 || each <= LID_SECONDS_PER_PIZZA) return null;
  return {
    text: 'Keep the lid open for less: everything at hand before it goes up.',
    why: `It stood open for ${Math.round(each)} s a pizza.`,
    weight: each / 90,
  };
}

function unrated({ pizzas }: CookFigures): Weighed | null {
  const rated = pizzas.filter(({ base, top }) => base !== null || top !== null).length;
  if (rated === pizzas.length) return null;
  return {
    text: 'Tap how base and top came out: the times learn from it.',
    why: `${of(rated, pizzas)} were judged.`,
    weight: 0.5 - 0.4 * (rated / pizzas.length),
  };
}

/** Everything worth changing, weightiest first; the weights are our own sense of what spoils an evening. */
export const changesFor = (cook: CookFigures, unit: Unit): Change[] =>
  [
    partedBakes,
    bakeTimes,
    overshoot,
    longOver,
    firstLaunch,
    launchesOutside,
    firePace,
    waits,
    unevenLaunches,
    openLid,
    unrated,
  ]
    .flatMap((rule) => rule(cook, unit) ?? [])
    .sort((a, b) => b.weight - a.weight)
    .map(({ text, why }) => ({ text, why }));
