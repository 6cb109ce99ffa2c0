import type { Evening, PlanSettings } from '../../../shared/evening/evening.ts';
import { differenceText, temperatureText } from '../../../shared/units.ts';
import { mix } from '../dough/physics/mixing-heat.ts';
import { askedHours, withRoom, type Hours } from '../dough/kitchen.ts';
import { follow } from '../dough/physics/lump.ts';
import { lies, mixingOf } from '../dough/fermentation.ts';
import { solve } from '../arithmetic.ts';
import { span } from './alternatives.ts';
import { leadBelief, readyWithin, slownessOf } from './fire-lead.ts';
import { outAtMost } from './run-layout.ts';

/** Where steps stood before and stand now, ms, and what is done already. */
export type Change = {
  evening: Evening;
  was: Map<string, number>;
  is: Map<string, number>;
  done: Set<string>;
  /** The stone's own forecast is known: it says more than the odds of a fire. */
  isForeseen: boolean;
};

const MINUTE_MS = 60_000;
/** Less than this, min, is not worth a word. */
const NOTED_MINUTES = 5;

const minutesBetween = (times: Map<string, number>, from: string, to: string): number =>
  ((times.get(to) ?? 0) - (times.get(from) ?? 0)) / MINUTE_MS;

/** Warmest dough, °C, that is proposed to make up for lost time (common practice, no source). */
const WARMEST_DOUGH_CELSIUS = 29;

/**
 * Water, °C, with which the dough is as ripe in the shorter time as it would have been; null where it can't be had.
 */
function warmerWater(evening: Evening, bulkMinutes: number): number | null {
  const { settings, coldHours } = evening;
  const inMass = settings.coldAs === 'mass' ? coldHours : 0;
  const planned = askedHours({ ...settings, bulkHours: evening.bulkHours, coldHours });
  const shorter = withRoom(planned, Math.max(0.1, bulkMinutes / 60 - inMass));
  const work = (doughC: number, hours: Hours): number => follow(lies(settings, hours), doughC).work;
  const want = work(settings.doughC, planned);
  return waterOf(
    settings,
    solve((doughC) => work(doughC, shorter), want, [settings.doughC, WARMEST_DOUGH_CELSIUS], 0.05),
  );
}

/** Water, °C, for a dough of `doughC`; null where no water gives it. */
function waterOf(settings: PlanSettings, doughC: number): number | null {
  const mixed = mix(mixingOf(settings), doughC);
  return Math.abs(mixed.doughC - doughC) > 0.5 ? null : Math.round(mixed.waterC);
}

function shorterBulk({ evening, done }: Change, minutes: number, less: number): string {
  const text = `The dough will have ${span(less * MINUTE_MS)} less`;
  if (done.has('mix'))
    return `${text}: put it somewhere about ${differenceText(3, evening.settings.unit)} warmer.`;
  const water = warmerWater(evening, minutes);
  const { unit } = evening.settings;
  return water === null || water <= evening.waterC
    ? `${text}: put it somewhere warm.`
    : `${text}: a little warmer water, ${temperatureText(water, unit)} instead of ${temperatureText(evening.waterC, unit)}.`;
}

function bulkGives(change: Change): string[] {
  const { was, is, done } = change;
  if (done.has('ball')) return [];
  const minutes = minutesBetween(is, 'bulk', 'ball');
  const more = minutes - minutesBetween(was, 'bulk', 'ball');
  if (more <= -NOTED_MINUTES) return [shorterBulk(change, minutes, -more)];
  const planned = minutesBetween(was, 'bulk', 'ball');
  if (more < NOTED_MINUTES) return [];
  const cure = more > 0.3 * planned ? 'put it in the fridge for that time' : 'a cooler place will do';
  return [`The dough will have ${span(more * MINUTE_MS)} more: ${cure}.`];
}

function fireGives({ evening, was, is, done, isForeseen }: Change): string[] {
  if (done.has('launch:1') || done.has('soak') || isForeseen) return [];
  const [planned, now] = [was, is].map((times) => minutesBetween(times, 'light-fire', 'launch:1'));
  const more = (now ?? 0) - (planned ?? 0);
  if (more >= NOTED_MINUTES)
    return done.has('light-fire')
      ? [`The fire has ${span(more * MINUTE_MS)} to spare: hold the stone in its band with the vents.`]
      : [];
  if (more > -NOTED_MINUTES) return [];
  const { settings, fire } = evening;
  const belief = leadBelief(settings.fireLeads);
  const chance = readyWithin(belief, ((now ?? 0) - fire.soak) / slownessOf(settings, belief));
  return [
    `The fire has ${Math.round(now ?? 0)} min: warm right through by then about ${Math.round(chance * 10)} times in 10.`,
  ];
}

function servingGives({ was, is, done }: Change): string[] {
  if (done.has('launch:1')) return [];
  const later = (is.get('launch:1') ?? 0) - (was.get('launch:1') ?? 0);
  if (Math.abs(later) < MINUTE_MS) return [];
  return [`The first pizza comes ${span(Math.abs(later))} ${later > 0 ? 'later' : 'sooner'}.`];
}

function restGives({ was, is, done }: Change): string[] {
  const more = minutesBetween(is, 'rest', 'launch:1') - minutesBetween(was, 'rest', 'launch:1');
  if (!done.has('rest') || done.has('launch:1') || more < 20) return [];
  return [`The balls rest ${span(more * MINUTE_MS)} longer: keep them cool and covered.`];
}

/** Toppings that lie out for a run which has become later: from which pizza on they have been out for too long. */
function toppingsGive({ evening: { steps, settings }, is, done }: Change): string[] {
  const lots = steps.filter(({ step }) => step === 'toppings');
  const laid = lots.findLast(({ id }) => done.has(id));
  if (!laid) return [];
  const next = lots[lots.indexOf(laid) + 1]?.pizza ?? Infinity;
  const atMost = outAtMost(settings);
  const late = steps.find(
    ({ id, step, pizza = 0 }) =>
      step === 'launch' && !done.has(id) && pizza < next && minutesBetween(is, laid.id, id) > atMost,
  );
  return late
    ? [
        `The toppings will have been out for ${atMost / 60} h by pizza ${late.pizza}: fresh ones from then on.`,
      ]
    : [];
}

/** What gives way, in plain sentences; none where all holds. */
export const gives = (change: Change): string[] => [
  ...servingGives(change),
  ...bulkGives(change),
  ...restGives(change),
  ...toppingsGive(change),
  ...fireGives(change),
];
