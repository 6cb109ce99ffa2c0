import type { Caution, Evening, PlanSettings, StepName } from '../../../shared/evening/evening.ts';
import { spoken } from '../dough/dough-notes.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
/** Nobody works dough unasked from so late to so early, hours of the local day (ours). */
const NIGHT_HOURS = { from: 23, to: 6 } as const;
/** What hands do with a dough before the evening, and how that is said. */
const NIGHT_STEPS: Partial<Record<StepName, string>> = {
  preferment: 'The preferment is set',
  weigh: 'The dough is begun',
  mix: 'The dough is mixed',
  knead: 'The dough is kneaded',
  cold: 'The dough goes into the fridge',
  warm: 'The dough comes out of the fridge',
  ball: 'The balls are made',
};
/** Changes of the time in the fridge that are tried, h, the smallest first. */
const COLD_CHANGES_HOURS = [2, -2, 4, -4, 6, -6, 8, -8, 10, -10, 12, -12, 14, 16];
/** A shorter stay in the fridge, h, is not worth it. */
const MIN_COLD_HOURS = 2;

/** How far the clocks of the place are ahead of UTC, ms, as the serving says it; null where it says none. */
export function clockAhead(serveAt: string): number | null {
  const [, sign, hours, minutes] = /([+-])(\d\d):(\d\d)$/.exec(serveAt) ?? [];
  if (sign === undefined) return null;
  return (sign === '-' ? -1 : 1) * (Number(hours) * HOUR_MS + Number(minutes) * MINUTE_MS);
}

/** Hour of the local day, 0 to 24. */
export const hourOf = (ms: number, ahead: number): number => new Date(ms + ahead).getUTCHours();

const isNight = (hour: number): boolean => hour >= NIGHT_HOURS.from || hour < NIGHT_HOURS.to;

const workAtNight = ({ steps }: Evening, ahead: number) =>
  steps.find(
    ({ step, pizza, at }) =>
      pizza === undefined && step in NIGHT_STEPS && isNight(hourOf(Date.parse(at), ahead)),
  );

function withCold(settings: PlanSettings, from: number, cold: number): PlanSettings {
  const bulkHours = settings.bulkHours + (settings.coldAs === 'mass' ? cold - from : 0);
  return { ...settings, bulkHours, coldHours: cold };
}

/**
 * Says where hands are wanted at night, and which time in the fridge would spare them. Nothing is moved unasked. None
 * where the serving says no zone, since then nobody knows when it is night.
 */
export function nightNote(evening: Evening, plan: (settings: PlanSettings) => Evening): Caution[] {
  const { settings, coldHours } = evening;
  const ahead = clockAhead(settings.serveAt);
  const work = ahead === null ? undefined : workAtNight(evening, ahead);
  if (ahead === null || !work) return [];
  const now = Date.parse(settings.now ?? '');
  const better = COLD_CHANGES_HOURS.map((by) => coldHours + by).find((cold) => {
    if (cold < MIN_COLD_HOURS) return false;
    const other = plan(withCold(settings, coldHours, cold));
    return !workAtNight(other, ahead) && !(Date.parse(other.steps[0]?.at ?? '') < now);
  });
  const clock = new Date(Date.parse(work.at) + ahead).toISOString().slice(11, 16);
  const cure =
    better === undefined
      ? 'serving at another hour can spare it'
      : `${spoken(better)} in the fridge${coldHours > 0 ? ` instead of ${spoken(coldHours)}` : ''} would spare it`;
  const text = `${NIGHT_STEPS[work.step]} at ${clock}, in the night: ${cure}.`;
  return [{ id: 'night', text, source: 'how the times are counted' }];
}
