import type { Now } from '../../../shared/api/live.ts';
import { channelOf, type View } from './headline-sentence.ts';

/** What came of the vents since somebody set them. Pure. */

/** A fire takes so long to answer: until then nothing is asked again, s. */
const WAIT_SECONDS = 180;
/** After this the vents are no longer what is watched, s. */
const FORGOTTEN_AFTER_SECONDS = 20 * 60;
/** °C/min of the dome, or of the stone where nobody measures the dome, that count as an answer. */
const MOVES_PER_MINUTE = 0.5;

const setAt = ({ events }: Now): number | null =>
  events.findLast(({ event, undone }) => event === 'vent' && !undone)?.t ?? null;

/** Where it goes since: the dome tells first. */
function heading({ now }: View): 'falling' | 'rising' | 'steady' | null {
  const dome = channelOf(now, 'dome');
  const channel = dome && !dome.stale && dome.perMinute !== null ? dome : channelOf(now, 'stone');
  if (!channel || channel.stale || channel.perMinute === null) return null;
  return channel.perMinute < -MOVES_PER_MINUTE
    ? 'falling'
    : channel.perMinute > MOVES_PER_MINUTE
      ? 'rising'
      : 'steady';
}

/** Whether vents that were set are given their time, or do what was wanted of them: then nobody is asked again. */
export function isWatched(view: View, wanted: 'close' | 'open'): boolean {
  const at = setAt(view.now);
  if (at === null || view.t - at > FORGOTTEN_AFTER_SECONDS) return false;
  return view.t - at < WAIT_SECONDS || heading(view) === (wanted === 'close' ? 'falling' : 'rising');
}

/** "Vents set 19:55, falling since": what is watched, while it is. @param write a time of the cook as text */
export function ventsWords(view: View, write: (t: number) => string): string | null {
  const at = setAt(view.now);
  if (at === null || view.t - at > WAIT_SECONDS * 2) return null;
  const since = heading(view);
  const answer = since === null ? '' : since === 'steady' ? ', steady so far' : `, ${since} since`;
  return `Vents set ${write(at)}${answer}.`;
}
