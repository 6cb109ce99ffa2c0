import type { StoneEstimate } from '../../../shared/api/api.ts';
import type { RecordingHeader } from '../../../shared/recording.ts';
import { createCore } from '../../core/core.ts';
import { EstimateTrace } from '../../core/estimate-trace.ts';
import { createBreath, withBreaths } from '../../store/breath.ts';
import type { Store } from '../../store/store.ts';
import { findCook } from './cook-history.ts';

/** A stone that gives more readings than one in so many seconds is measured. */
const LOOKED_AT_SECONDS = 60;
/** So often it is estimated while nothing comes, s. */
const ESTIMATE_EVERY_SECONDS = 30;
/** More looks than these nobody takes. */
const MAX_LOOKS = 500;

async function isLookedAt(
  store: Store,
  { id, header }: { id: number; header: RecordingHeader },
): Promise<boolean> {
  const stone = header.channels.find(({ role }) => role === 'stone');
  if (!stone) return false;
  const found = await withBreaths(store.downsampled(id, { channel: stone.id }, MAX_LOOKS));
  const seconds = (found.at(-1)?.t ?? 0) - (found[0]?.t ?? 0);
  return found.length < MAX_LOOKS && found.length * LOOKED_AT_SECONDS <= seconds;
}

const MAX_CACHED_COOKS = 8;
const cache = new Map<string, Promise<StoneEstimate[]>>();

/**
 * The same for a cook that is over: made anew from its lines, with breaths, since nothing but lines is stored.
 * @throws Fault `not-found`
 */
export async function estimatesOf(store: Store, id: number): Promise<StoneEstimate[]> {
  const cook = findCook(store, id);
  if (!(await isLookedAt(store, cook))) return [];
  const key = `${cook.startedAt} ${id} ${store.lineCount(id)}`;
  const made = cache.get(key) ?? replayed(store, cook);
  cache.delete(key);
  cache.set(key, made);
  for (const oldest of [...cache.keys()].slice(0, -MAX_CACHED_COOKS)) cache.delete(oldest);
  return made;
}

async function replayed(
  store: Store,
  { id, header }: { id: number; header: RecordingHeader },
): Promise<StoneEstimate[]> {
  const trace = new EstimateTrace(header);
  const core = createCore(header);
  const breathe = createBreath();
  let t = 0;
  for (const line of store.lines(id)) {
    // Between two looks at stone and dial the estimate goes on all the same.
    for (t += ESTIMATE_EVERY_SECONDS; t < line.t; t += ESTIMATE_EVERY_SECONDS) {
      for (const output of core.tick(t)) trace.add(output);
      await breathe();
    }
    t = line.t;
    if ('event' in line && line.event === 'undo') await withBreaths(core.prepareUndo(line.of));
    const { readings, outputs, remade } = core.line(line);
    const source = 'source' in line && line.source ? line.source : 'replay';
    for (const { channel } of readings) trace.took(channel, source);
    if (remade) trace.remake(remade.from, remade.forecasts);
    else for (const output of outputs) trace.add(output);
    await breathe();
  }
  return trace.estimates;
}
