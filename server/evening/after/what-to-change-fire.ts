import { medianOf } from '../../../shared/statistics/median.ts';
import { differenceText, type Unit } from '../../../shared/units.ts';
import type { CookFigures, Weighed } from './figures.ts';

/** What to change next time about the fire and when pizzas went on, each with its figures. The limits are our choice. */

const minutes = (seconds: number): number => Math.round(seconds / 60);

/** An overshoot below this, °C, is as good as anyone does (common practice, no source). */
const OVERSHOOT_CELSIUS = 10;
/** Vents that are closed within this after the call are closed in time, s. */
const IN_TIME_SECONDS = 120;
/** So long above its band a stone keeps people waiting, s. */
const LONG_OVER_SECONDS = 180;

/** The stone ran over its band before the first pizza, °C. */
const overBy = ({ peakStone, stone }: CookFigures): number => (peakStone ?? 0) - stone[1];
const beforeFirst = ({ pizzas }: CookFigures): string =>
  pizzas.length === 0 ? '' : ' before the first pizza';

export function overshoot(cook: CookFigures, unit: Unit): Weighed | null {
  const over = overBy(cook);
  if (over <= OVERSHOOT_CELSIUS) return null;
  const ran = `the stone ran ${differenceText(over, unit)} over its band${beforeFirst(cook)}.`;
  const { calledAt = 0, closedAt = calledAt } = cook.ventsCall ?? {};
  const weight = over / 8;
  const text = 'Close the vents when the call comes.';
  if (closedAt === null)
    return { text, why: `After the call no closing was noted or seen, and ${ran}`, weight };
  const late = closedAt - calledAt;
  if (late >= IN_TIME_SECONDS)
    return { text, why: `They were closed ${minutes(late)} min after it, and ${ran}`, weight };
  const earlier = differenceText(Math.round((over * 1.5) / 5) * 5, unit);
  return {
    text: `Close the vents sooner: about ${earlier} earlier on the way up.`,
    why: ran.replace(/^t/, 'T'),
    weight,
  };
}

export function longOver(cook: CookFigures): Weighed | null {
  const waited = cook.overBeforeSeconds;
  if (overBy(cook) <= OVERSHOOT_CELSIUS || waited < LONG_OVER_SECONDS) return null;
  return {
    text: 'Top nothing before the stone is back in its band: it cools slowly once it ran over.',
    why: `It stood above its band for ${minutes(waited)} min${beforeFirst(cook)}.`,
    weight: waited / 300,
  };
}

/** So much after the plan, or after a ready stone, a first pizza is late, s. */
const LATE_AFTER_SECONDS = { plan: 600, ready: 240 } as const;

export function firstLaunch({ firstLaunchAt, plannedLaunchAt, readyAt }: CookFigures): Weighed | null {
  if (firstLaunchAt === null) return null;
  const late = plannedLaunchAt === null ? 0 : firstLaunchAt - plannedLaunchAt;
  const waited = readyAt === null ? 0 : firstLaunchAt - readyAt;
  if (
    plannedLaunchAt !== null &&
    readyAt !== null &&
    late >= LATE_AFTER_SECONDS.plan &&
    readyAt > plannedLaunchAt
  )
    return {
      text: `Light the fire ${minutes(late)} min sooner.`,
      why: `The stone was ready ${minutes(readyAt - plannedLaunchAt)} min after the planned launch.`,
      weight: late / 600,
    };
  if (late >= LATE_AFTER_SECONDS.plan)
    return {
      text: `Have dough and toppings ready ${minutes(late)} min sooner.`,
      why: `The stone waited; the first pizza came ${minutes(late)} min late.`,
      weight: late / 600,
    };
  if (waited < LATE_AFTER_SECONDS.ready) return null;
  return {
    text: 'Have the first pizza on the peel when the stone gets ready.',
    why: `It went on ${minutes(waited)} min after the stone was ready.`,
    weight: waited / 400,
  };
}

/** Pizzas that went onto a stone outside of its band. Nearer than this to it is in it, °C. */
const NEAR_BAND_CELSIUS = 1;
export function launchesOutside({ pizzas, stone: [low, high] }: CookFigures, unit: Unit): Weighed | null {
  const stones = pizzas.flatMap(({ stoneAtLaunch }) => stoneAtLaunch ?? []);
  const below = stones.filter((celsius) => celsius < low - NEAR_BAND_CELSIUS).map((celsius) => low - celsius);
  const above = stones
    .filter((celsius) => celsius > high + NEAR_BAND_CELSIUS)
    .map((celsius) => celsius - high);
  const isBelow = below.length >= above.length;
  const out = isBelow ? below : above;
  if (out.length === 0) return null;
  const by = out.reduce((sum, each) => sum + each, 0) / out.length;
  return {
    text: isBelow
      ? 'Wait with the launch until the stone is in its band.'
      : 'Let the stone come down into its band before the launch.',
    why: `${out.length} of ${stones.length} pizzas went on ${isBelow ? 'below' : 'above'} it, by ${differenceText(by, unit)}.`,
    weight: (out.length * by) / 10,
  };
}

/** A recovery longer than this, s, keeps guests waiting (common practice, no source). */
const SLOW_BACK_SECONDS = 420;
/** A stone in its band may take so long to be steady, s, and may be ready again so late. */
const UNSTEADY_SECONDS = { seconds: 180, readyAfter: 300 } as const;

/** What a pizza took off the stone, and how long the stone took after it. */
export function firePace({ pizzas }: CookFigures, unit: Unit): Weighed | null {
  const back = medianOf(pizzas.map(({ recoverySeconds }) => recoverySeconds));
  const again = medianOf(pizzas.map(({ readyAgainSeconds }) => readyAgainSeconds));
  const fell = medianOf(pizzas.map(({ drawDown }) => drawDown));
  const by = fell === null ? '' : `, after a fall of ${differenceText(fell, unit)}`;
  if (back !== null && back > SLOW_BACK_SECONDS)
    return {
      text: 'Open the vents a little as each pizza goes on, and shut the lid quickly.',
      why: `The stone took ${minutes(back)} min to recover${by}.`,
      weight: back / 240,
    };
  if (
    back === null ||
    again === null ||
    again <= UNSTEADY_SECONDS.readyAfter ||
    again - back <= UNSTEADY_SECONDS.seconds
  )
    return null;
  return {
    text: 'Turn the vents down once the stone is back in its band: it is steady sooner.',
    why: `It was ready again only after ${minutes(again)} min, though back in its band after ${minutes(back)} min${by}.`,
    weight: again / 300,
  };
}

/** So long a ready stone may wait for the next pizza, all of an evening together, s. */
const WAITED_SECONDS = 240;
export function waits({ pizzas }: CookFigures): Weighed | null {
  // Of the first pizza it is said by itself.
  const each = pizzas.slice(1).flatMap(({ waitedSeconds }) => waitedSeconds ?? []);
  const all = each.reduce((sum, seconds) => sum + seconds, 0);
  if (all < WAITED_SECONDS) return null;
  return {
    text: 'Top the next pizza while the stone recovers.',
    why: `The stone stood ready for ${minutes(all)} min in all before ${each.length === 1 ? 'a pizza' : `${each.length} pizzas`} went on.`,
    weight: all / 600,
  };
}
