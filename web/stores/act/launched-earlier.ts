import { call } from '../../api.ts';
import { cookTime, now } from '../live.ts';
import { amend, undoEvent } from './acts.ts';

/** So much at a tap, s. */
export const EARLIER_SECONDS = 30;

/** The entry that was taken back last: until the page hears of it, a second tap means no other. */
let replaced: string | null = null;

/** A launch that was tapped late is entered anew with the time that it was at, and the first entry is taken back: both stay listed. */
export const launchedEarlier = (id: string): Promise<unknown> =>
  amend(`launched earlier ${id}`, async () => {
    const launch = now
      .peek()
      ?.events.findLast(({ event, pizza, undone }) => event === 'launch' && pizza === id && !undone);
    const t = cookTime.peek();
    if (!launch || t === null || launch.id === replaced) return;
    await undoEvent(launch.id)();
    replaced = launch.id;
    const ago = Math.round(t - launch.t) + EARLIER_SECONDS;
    await call('POST', '/api/events', { event: 'launch', pizza: id, ago });
  });
