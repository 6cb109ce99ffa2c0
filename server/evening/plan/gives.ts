import type { Evening } from '../../../shared/evening.ts';
import { OutOfRange, figure } from '../range.ts';
import { ripeHours } from '../dough/yeast.ts';
import { leadBelief, readyWithin } from './fire.ts';
import { staysOf, waterOf } from './settle.ts';

/** Where steps stood before and stand now, ms, and what is done already. */
export type Change = {
  evening: Evening;
  was: Map<string, number>;
  is: Map<string, number>;
  done: Set<string>;
};

const MINUTE = 60_000;
/** Less than this, min, is not worth a word. */
const WORTH = 5;

const minutesBetween = (times: Map<string, number>, from: string, to: string): number =>
  ((times.get(to) ?? 0) - (times.get(from) ?? 0)) / MINUTE;

/** Warmest dough, °C, that is proposed to make up for lost time (common practice, no source). */
const WARMEST = 29;

/**
 * Water, °C, with which the dough is as ripe in the shorter time as it would have been; null where it can't be had.
 * The dough temperature is found by halving to 0.05 °C.
 */
export function warmerWater(evening: Evening, bulkMinutes: number): number | null {
  const { settings, bulkHours, coldHours } = evening;
  const room = Math.max(0.1, bulkMinutes / 60 - coldHours);
  const ripe = (doughC: number, first: number): number =>
    ripeHours(staysOf({ first, cold: coldHours, warm: 0 }, settings), doughC);
  const want = ripe(settings.doughC, bulkHours - coldHours);
  let [low, high] = [settings.doughC, WARMEST];
  if (ripe(high, room) < want) low = high;
  while (high - low > 0.05) {
    const middle = (low + high) / 2;
    if (ripe(middle, room) < want) low = middle;
    else high = middle;
  }
  try {
    return Math.round(waterOf(settings, high));
  } catch (error) {
    if (error instanceof OutOfRange) return null;
    throw error;
  }
}

function shorterBulk({ evening, done }: Change, minutes: number, less: number): string {
  const said = `The dough will have ${Math.round(less)} min less`;
  if (done.has('mix')) return `${said}: put it somewhere about 3 °C warmer.`;
  const water = warmerWater(evening, minutes);
  return water === null || water <= evening.waterC
    ? `${said}: put it somewhere warm.`
    : `${said}: a little warmer water, ${water} °C instead of ${figure(evening.waterC)} °C.`;
}

function bulkGives(change: Change): string[] {
  const { was, is, done } = change;
  if (done.has('ball')) return [];
  const minutes = minutesBetween(is, 'bulk', 'ball');
  const more = minutes - minutesBetween(was, 'bulk', 'ball');
  if (more <= -WORTH) return [shorterBulk(change, minutes, -more)];
  const planned = minutesBetween(was, 'bulk', 'ball');
  if (more < WORTH) return [];
  const cure = more > 0.3 * planned ? 'put it in the fridge for that time' : 'a cooler place will do';
  return [`The dough will have ${Math.round(more)} min more: ${cure}.`];
}

function fireGives({ evening, was, is, done }: Change): string[] {
  if (done.has('launch:1') || done.has('soak')) return [];
  const [planned, now] = [was, is].map((times) => minutesBetween(times, 'light-fire', 'launch:1'));
  const more = (now ?? 0) - (planned ?? 0);
  if (more >= WORTH)
    return done.has('light-fire')
      ? [`The fire has ${Math.round(more)} min to spare: hold the stone in its band with the vents.`]
      : [];
  if (more > -WORTH) return [];
  const chance = readyWithin(leadBelief(evening.settings.fireLeads), now ?? 0);
  return [
    `The fire has ${Math.round(now ?? 0)} min: ready by then about ${Math.round(chance * 10)} times in 10.`,
  ];
}

function servingGives({ was, is }: Change): string[] {
  const later = ((is.get('launch:1') ?? 0) - (was.get('launch:1') ?? 0)) / MINUTE;
  if (Math.abs(later) < 1) return [];
  return [`The first pizza comes ${Math.round(Math.abs(later))} min ${later > 0 ? 'later' : 'sooner'}.`];
}

function restGives({ was, is, done }: Change): string[] {
  const more = minutesBetween(is, 'rest', 'stretch:1') - minutesBetween(was, 'rest', 'stretch:1');
  if (!done.has('rest') || done.has('stretch:1') || more < 20) return [];
  return [`The balls rest ${Math.round(more)} min longer: keep them cool and covered.`];
}

/** What gives way, in plain sentences; none where all holds. */
export const gives = (change: Change): string[] => [
  ...servingGives(change),
  ...bulkGives(change),
  ...restGives(change),
  ...fireGives(change),
];
