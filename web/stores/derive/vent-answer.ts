import type { LiveChannel, Now } from '../../../shared/api/live.ts';
import { channelOf, type View } from './headline-sentence.ts';
import { trendOf, type Trend } from './curve/direction.ts';

/** What came of the vents since somebody set them. Pure. */

/** A fire takes so long to answer: until then nothing is asked again, s. */
const WAIT_SECONDS = 180;
/** After this the vents are no longer what is watched, s. */
const FORGOTTEN_AFTER_SECONDS = 20 * 60;

const setAt = ({ events }: Now): number | null =>
  events.findLast(({ event, undone }) => event === 'vent' && !undone)?.t ?? null;

/** What tells where the fire goes: the dome tells first. */
const watchedOf = ({ now }: View): LiveChannel | null => {
  const dome = channelOf(now, 'dome');
  return dome && !dome.stale && dome.perMinute !== null ? dome : channelOf(now, 'stone');
};

/** Where it goes since. @param before what was last said of it, null where nothing was */
export function ventsTrend(view: View, before: Trend | null): Trend | null {
  const channel = watchedOf(view);
  return !channel || channel.stale || channel.perMinute === null ? null : trendOf(channel.perMinute, before);
}

/** Whether vents that were set are given their time, or do what was wanted of them: then nobody is asked again. */
export function isWatched(view: View, wanted: 'close' | 'open'): boolean {
  const at = setAt(view.now);
  if (at === null || view.t - at > FORGOTTEN_AFTER_SECONDS) return false;
  const answer = wanted === 'close' ? 'falling' : 'rising';
  return view.t - at < WAIT_SECONDS || ventsTrend(view, null)?.startsWith(answer) === true;
}

/** A dome that rises faster than this, °C/min, goes on after the vents are moved. */
const RISES_PER_MINUTE = 2;
/** What the notes say of vents that are narrow already. */
const NARROW = /shut|quarter/;

/** The dome tells of too hot a fire before the stone does: above its band, rising, and the vents not known to be narrow. */
export function domeWords({ now }: View): string | null {
  const { celsius = null, perMinute = null, band, stale } = channelOf(now, 'dome') ?? {};
  if (stale || celsius === null || !band || celsius <= band[1] || (perMinute ?? 0) < RISES_PER_MINUTE)
    return null;
  const set = now.events.findLast(({ event, undone }) => event === 'vent' && !undone);
  if (now.forecast?.overAt == null || NARROW.test(set?.note ?? '')) return null;
  return 'Close the vents further: the dome is over its band and rises.';
}

/** "Vents set at 19:55, dome falling since": what is watched, while it is. @param write a time of the cook as text */
export function ventsWords(view: View, trend: Trend | null, write: (t: number) => string): string | null {
  const at = setAt(view.now);
  if (at === null || view.t - at > WAIT_SECONDS * 2) return null;
  const what = watchedOf(view)?.role ?? 'stone';
  const answer =
    trend === null ? '' : trend === 'steady' ? `, ${what} steady so far` : `, ${what} ${trend} since`;
  return `Vents set at ${write(at)}${answer.replace(' fast', '')}.`;
}
