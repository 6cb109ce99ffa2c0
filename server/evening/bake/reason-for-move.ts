import type { Lesson } from '../../../shared/evening/plan.ts';
import { differenceToFahrenheit, type Unit } from '../../../shared/units.ts';
import { deviation, launchDeviation, type Bake } from './bake.ts';
import type { Guide } from './guide.ts';

const degrees = (celsius: number, unit: Unit): string => {
  const size = Math.abs(celsius);
  return `${Math.max(1, Math.round(unit === 'F' ? differenceToFahrenheit(size) : size))} °${unit}`;
};

const change = (seconds: number): string =>
  `Off ${Math.abs(Math.round(seconds))} s ${seconds < 0 ? 'sooner' : 'later'}`;

/** How far the stone was from the middle of its band at the launch, tolerance and all, °C. */
const atLaunch = ({ base: { launch, reference } }: Bake): number =>
  launch === null || reference === null ? 0 : launch.celsius - reference;

function ofTemperature({ base }: Bake, unit: Unit): string {
  const off = base.seen?.deviation ?? deviation(base, base.since);
  const how = off < 0 ? 'colder' : 'hotter';
  return `the stone is ${degrees(off, unit)} ${how} than it usually is at this point of a bake`;
}

function ofDome({ top }: Bake, unit: Unit): string {
  const atLaunch = launchDeviation(top);
  if (atLaunch !== 0)
    return `the dome is ${degrees(atLaunch, unit)} ${atLaunch < 0 ? 'below' : 'above'} its band`;
  const off = top.seen?.deviation ?? 0;
  return `the dome is ${degrees(off, unit)} ${off < 0 ? 'colder' : 'hotter'} than it usually is at this point of a bake`;
}

/** One sentence on a move by `seconds` (less than 0: sooner): what of that direction weighs most. */
export function reasonOf(seconds: number, bake: Bake, guide: Guide, unit: Unit): string {
  const { launch, course, dome } = guide.parts;
  const sign = Math.sign(seconds);
  const largest = Math.max(sign * launch, sign * course, sign * dome);
  const words = {
    launch: `the stone was ${degrees(atLaunch(bake), unit)} ${launchDeviation(bake.base) < 0 ? 'below' : 'above'} the middle of its band at the launch`,
    course: ofTemperature(bake, unit),
    dome: ofDome(bake, unit),
    back: 'the stone has come back to its usual course',
  };
  const cause =
    largest <= 0
      ? words.back
      : largest === sign * launch
        ? words.launch
        : largest === sign * dome
          ? words.dome
          : words.course;
  return `${change(seconds)}: ${cause}${guide.agrees ? '' : ' (a rough guess, so far from the usual)'}.`;
}

/** Whose verdicts these are, to be said after "by". */
function verdictsOf({ own, pizzas }: Lesson, eater: string): string {
  if (!eater) return 'earlier verdicts';
  if (own === pizzas) return `the verdicts of ${eater}`;
  return own === 0
    ? `the verdicts of others, since there are none of ${eater} yet`
    : `the verdicts of ${eater} and of others`;
}

/**
 * Why the time differs from the person's own from the launch on, by `seconds`: the taste or the verdicts, whichever of
 * the two moves it further in that direction. `byTaste` is what the taste alone does, s.
 */
export function personalReason(
  seconds: number,
  byTaste: number,
  { eater, likes }: { eater: string; likes: string },
  lesson: Lesson,
): string {
  const isByTaste = Math.sign(seconds) * byTaste >= Math.abs(seconds) / 2;
  const because = isByTaste
    ? `as ${eater || 'the table'} likes it (${likes})`
    : `by ${verdictsOf(lesson, eater)}`;
  return `${change(seconds)}, ${because}.`;
}
