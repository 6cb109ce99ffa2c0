import type { Evening, PlanSettings } from '../../../shared/evening/evening.ts';
import { doughParts, type DoughFormula } from '../../../shared/evening/formula.ts';
import type { Change, Fit } from '../../../shared/evening/fit.ts';
import { SHIPPED_FORMULAS } from '../dough/recipe/shipped-formulas.ts';
import { spoken } from '../dough/dough-notes.ts';
import { YEAST_NAMES } from '../dough/dough-words.ts';
import { figure } from '../arithmetic.ts';
import { clockAhead, hourOf } from './night-work.ts';
import { utc } from './timeline.ts';

const MINUTE_MS = 60_000;
/** Servings are proposed on whole five minutes. */
const SERVING_STEP_MS = 5 * MINUTE_MS;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

type Plan = (settings: PlanSettings) => Evening;
type Serving = Extract<Change, { serveAt: string }>;

/** A time as people say it: "20 min", "5 h 50 min", "2 days 3 h". */
export function span(ms: number): string {
  const minutes = Math.max(0, Math.round(ms / MINUTE_MS));
  const [days, hours, rest] = [Math.floor(minutes / 1440), Math.floor((minutes % 1440) / 60), minutes % 60];
  const parts = [
    days > 0 && `${days} ${days === 1 ? 'day' : 'days'}`,
    hours > 0 && `${hours} h`,
    days === 0 && (rest > 0 || hours === 0) && `${rest} min`,
  ];
  return parts.filter(Boolean).join(' ');
}

const firstOf = ({ steps }: Evening): number => Date.parse(steps[0]?.at ?? '');
const inTime = (evening: Evening, now: number): boolean => firstOf(evening) >= now;

function whyNot({ steps, settings }: Evening, now: number): string {
  const serve = Date.parse(settings.serveAt);
  if (serve <= now) return `The first pizza was wanted ${span(now - serve)} ago.`;
  const first = steps[0];
  const what = first?.step === 'light-fire' ? 'The fire has to be lit' : 'This dough has to be begun';
  return `${what} ${span(serve - Date.parse(first?.at ?? ''))} before the first pizza is served, and serving is only ${span(serve - now)} away.`;
}

/** Hours around the wished time of day at which guests come too: from lunch to late, for an evening (ours). */
const GUESTS_COME_MS = { before: 7 * HOUR_MS, after: 3 * HOUR_MS } as const;
/** Up to so much later is still the same day's plan, and is said first; servings nearer to each other are one. */
const [SAME_DAY, APART] = [7 * HOUR_MS, 2 * HOUR_MS];

/** Hours of the local day at which guests come, where it is known (ours): else at noon, the next one. */
const TABLE_HOURS = { from: 11, to: 23, noon: 12 } as const;

function byDay(at: number, ahead: number): number {
  const hour = hourOf(at, ahead);
  if (hour >= TABLE_HOURS.from && hour < TABLE_HOURS.to) return at;
  const midnight = at + ahead - ((at + ahead) % DAY_MS) - ahead;
  return midnight + (hour < TABLE_HOURS.from ? 0 : DAY_MS) + TABLE_HOURS.noon * HOUR_MS;
}

/**
 * The same dough as soon as it can be at an hour at which guests come, and at the same hour of a day to come.
 * @param serveAt as it was wished, with its zone where that is known
 * @param late by how much it can't be, ms
 */
function laterServings(serveAt: string, late: number): Serving[] {
  const serve = Date.parse(serveAt);
  const nextDay = serve + Math.max(1, Math.ceil(late / DAY_MS)) * DAY_MS;
  const earliest = Math.ceil((serve + late) / SERVING_STEP_MS) * SERVING_STEP_MS;
  const isTonight = nextDay - earliest >= DAY_MS - GUESTS_COME_MS.after;
  const ahead = clockAhead(serveAt);
  const byHour = isTonight ? earliest : Math.max(earliest, nextDay - GUESTS_COME_MS.before);
  const soonest = ahead === null ? byHour : byDay(earliest, ahead);
  const days = Math.round((nextDay - serve) / DAY_MS);
  const text = `The same dough at the same hour, ${days === 1 ? 'a day' : `${days} days`} later.`;
  const same = { text, serveAt: utc(nextDay) };
  if (nextDay - soonest < APART) return [same];
  const soon = { text: `The same dough, served ${span(soonest - serve)} later.`, serveAt: utc(soonest) };
  return soonest - serve <= SAME_DAY ? [soon, same] : [same, soon];
}

/** A dough that is mixed waits no longer than this beyond its time, ms (ours: a night in the fridge). */
const MIXED_WAITS_MS = 14 * HOUR_MS;

/** Of a dough that was mixed so late that the first pizza comes `late` ms after it was wanted: when it can be served. */
export function mixedLate(serveAt: string, late: number): Fit {
  const servings = laterServings(serveAt, late);
  const soon = servings.filter(
    ({ serveAt: at }) => Date.parse(at) - Date.parse(serveAt) - late <= MIXED_WAITS_MS,
  );
  return {
    fits: false,
    why: `As the dough was mixed, the first pizza can be served ${span(late)} later than wanted at the soonest.`,
    instead: soon.length > 0 ? soon : servings,
  };
}

/** Hours as the settings count them: the cold is in the mass's, or comes after as balls. */
function hoursOf({ bulkHours, coldHours = 0, coldAs, ballHours = 2 }: DoughFormula, asked: PlanSettings) {
  const cold = coldHours > 0 && coldAs !== asked.coldAs ? coldHours : 0;
  return { bulkHours: bulkHours + (asked.coldAs === 'mass' ? cold : -cold), coldHours, ballHours };
}

const SHIPPED_DOUGHS = SHIPPED_FORMULAS.filter((formula) => formula.kind === 'dough');
/** Hours in the mass and as balls of a dough for those who are late, the longest first (our own). */
const QUICK_DOUGHS = [
  [2.5, 1.5],
  [2, 1],
  [1.5, 1],
  [1, 0.75],
] as const;

/** Hours decide where the yeast does not: one that was given is left to them. */
const byHours = ({ yeastFraction }: PlanSettings) => (yeastFraction === null ? {} : { yeastFraction: null });

/** Time in the mass is proposed in steps of a quarter, and no shorter than the least, h in the room. */
const [QUARTER, MIN_ROOM] = [0.25, 1];

/** The same dough with more yeast, in the time that there is; none where its yeast was not given, or it is too late. */
function moreYeast(wish: Evening, now: number, plan: Plan): Change[] {
  const { settings, bulkHours, coldHours, ballHours } = wish;
  if (settings.yeastFraction === null) return [];
  const shorter = Math.floor((bulkHours - (now - firstOf(wish)) / HOUR_MS) / QUARTER) * QUARTER;
  if (shorter - (settings.coldAs === 'mass' ? coldHours : 0) < MIN_ROOM) return [];
  const dough = { bulkHours: shorter, coldHours, ballHours, yeastFraction: null };
  const [more, given] = [plan({ ...settings, ...dough }), wish].map(({ dough: { yeastGrams } }) =>
    figure(yeastGrams, 2),
  );
  return [{ text: `More yeast, ${more} g instead of ${given} g: ${spoken(shorter)} in the mass.`, dough }];
}

/** A preferment has its own time before the dough: where that is over, one without it can still do. */
type Leavened = {
  no: string;
  by: Pick<Extract<Change, { dough: object }>['dough'], 'preferment'>;
};

/**
 * Other doughs for the same serving, the longest first, those that keep the preferment before those without; quick ones
 * are for where no usual one fits.
 */
function otherDoughs({ settings }: Evening): { shipped: Change[]; quick: Change[] } {
  const { preferment, yeast } = settings;
  const leavened: Leavened[] = [
    { no: '', by: {} },
    ...(preferment ? [{ no: ` and no ${preferment.kind}`, by: { preferment: null } }] : []),
  ];
  const total = ({ bulkHours, ballHours }: ReturnType<typeof hoursOf>): number => bulkHours + ballHours;
  const shipped = SHIPPED_DOUGHS.map((formula) => ({ formula, hours: hoursOf(formula, settings) }))
    .filter(({ hours }) => hours.bulkHours >= 1)
    .sort((a, b) => total(b.hours) - total(a.hours));
  return {
    shipped: leavened.flatMap(({ no, by }) =>
      shipped.map(({ formula: { id, version, name }, hours }) => ({
        text: `Another dough${no && `, with ${YEAST_NAMES[yeast]}${no}`}: “${name}”.`,
        dough: { ...hours, ...byHours(settings), ...by },
        formula: { id, version },
      })),
    ),
    quick: leavened.flatMap(({ no, by }) =>
      QUICK_DOUGHS.map(([bulkHours, ballHours]) => ({
        text: `A quick dough with more yeast${no}: ${spoken(bulkHours)} in the mass, ${spoken(ballHours)} as balls.`,
        dough: { bulkHours, coldHours: 0, ballHours, ...byHours(settings), ...by },
      })),
    ),
  };
}

/** The first so many that suit; those after them are not worked out. */
function first(most: number, changes: readonly Change[], suits: (change: Change) => boolean): Change[] {
  const found: Change[] = [];
  for (const change of changes) {
    if (found.length === most) break;
    if (suits(change)) found.push(change);
  }
  return found;
}

/**
 * Whether no step lies before `settings.now`; where one does, why, and what fits: each change planned again before it
 * is proposed, two doughs and two servings at most.
 */
export function fitOf(wish: Evening, plan: Plan): Fit {
  const { settings } = wish;
  const now = Date.parse(settings.now ?? '');
  if (Number.isNaN(now) || inTime(wish, now)) return { fits: true };
  const isInTime = (change: Partial<PlanSettings>): boolean => inTime(plan({ ...settings, ...change }), now);
  const fits = (change: Change): boolean => {
    if ('serveAt' in change) return isInTime({ serveAt: change.serveAt });
    const whole = SHIPPED_DOUGHS.find(({ id }) => id === change.formula?.id);
    const { preferment } = { ...settings, ...change.dough };
    return isInTime(change.dough) && (!whole || isInTime({ ...doughParts(whole), preferment }));
  };
  const { shipped, quick } = otherDoughs(wish);
  const doughs = first(2, [...moreYeast(wish, now, plan), ...shipped], fits);
  return {
    fits: false,
    why: whyNot(wish, now),
    instead: [
      ...(doughs.length > 0 ? doughs : first(1, quick, fits)),
      ...laterServings(settings.serveAt, now - firstOf(wish)).filter(fits),
    ],
  };
}
