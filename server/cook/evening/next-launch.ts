import type { Band, EngineView, Forecast } from '../../../shared/engine.ts';
import { USUAL_RECOVERY_SECONDS } from '../../../shared/cook/run.ts';
import { normalCdf, STANDARD_ERRORS_80 } from '../../../shared/statistics/normal.ts';

/** When the next pizza can go on: the time that headline, pizzas, prompts and plan all name. Times s, temperatures °C. */

/**
 * A launch farther off than this, s, is not named while the stone may well be in its band within `soon` min, by at least
 * `chance`: the mean just grazes the band, and the next reading has it there at once or not for a long time. Our choice.
 */
const UNSURE = { beyond: 480, soon: 3, chance: 0.2 };

/** A fire takes so long to answer its vents, s: what the stone does until then is settled, later it goes by who tends it. */
const SETTLED_SECONDS = 300;

/** @returns gone by where that is now; null where nothing can be said, or only a look could tell it from much later */
export function nextLaunch(view: EngineView, t: number, band: Band): number | null {
  const busy = Math.max(0, ...view.onStone.map(({ offAt }) => offAt));
  if (busy > 0) return Math.max(t, busy) + USUAL_RECOVERY_SECONDS;
  if (view.state === 'ready') return view.since;
  const { forecast } = view;
  const at = forecast && inBand(forecast, band);
  if (!forecast || at === null || at === undefined) return null;
  return at - t > UNSURE.beyond && isEstimated(view) && chanceSoon(forecast, band) >= UNSURE.chance
    ? null
    : at;
}

/** Nobody measures the stone: it is known as its last look and the model have it. */
const isEstimated = ({ channels }: EngineView): boolean =>
  Object.values(channels).some(({ isEstimate }) => isEstimate);

/**
 * When the stone is ready, but within the time that its course lies in the band, where it leaves that soon: where it would be steady only after it has
 * left the band, the pizza goes on the sooner the longer that would take, at the soonest as it enters.
 */
function inBand({ t, stone, readyAt, overAt, fadesAt, curves }: Forecast, [low, high]: Band): number | null {
  if (stone === null || stone > high) return readyAt;
  const leaves = Math.min(overAt ?? Infinity, fadesAt ?? Infinity);
  if (leaves > (readyAt ?? Infinity) || leaves - t > SETTLED_SECONDS) return readyAt;
  const enters = stone >= low ? t : entersAt(curves.stone, low);
  return Math.max(enters ?? leaves, 2 * leaves - (readyAt ?? Infinity));
}

/** When the course first comes up to the low end of the band, straight between its points. */
function entersAt(course: Forecast['curves']['stone'], low: number): number | null {
  for (let i = 1; i < course.length; i++) {
    const [before, after] = [course[i - 1], course[i]];
    if (before && after && before.celsius < low && after.celsius >= low)
      return before.t + ((low - before.celsius) / (after.celsius - before.celsius)) * (after.t - before.t);
  }
  return null;
}

/** How probable it is that the stone lies in its band at some minute soon. */
function chanceSoon({ curves }: Forecast, [low, high]: Band): number {
  const chances = curves.stone.slice(0, UNSURE.soon + 1).map(({ celsius, high: upper }) => {
    const error = Math.max(0.1, (upper - celsius) / STANDARD_ERRORS_80);
    return normalCdf((high - celsius) / error) - normalCdf((low - celsius) / error);
  });
  return Math.max(0, ...chances);
}
