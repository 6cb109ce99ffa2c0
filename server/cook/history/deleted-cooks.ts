import type { CookRow } from '../../../shared/api/api.ts';
import { createBreath } from '../../store/breath.ts';
import type { Store, StoredCook } from '../../store/store.ts';
import { unfinished } from '../portable/cook-import.ts';
import { rowOf } from './cook-history.ts';

/** Deleted cooks stay for a while, so that they can be brought back. */

const DAY_MS = 86_400_000;
/** Days (our choice). */
const RESTORABLE_DAYS = 30;
/** More than a week of all channels has; a disk that takes nothing must not be asked for ever. */
const MAX_PARTS = 100_000;

/** What is being brought in is hidden as if it were deleted, and is not. */
function deletedCooks(store: Store): (StoredCook & { deletedAt: number })[] {
  const arriving = new Set(unfinished(store));
  return store
    .deletedCooks()
    .flatMap((cook) =>
      cook.deletedAt === null || arriving.has(cook.id) ? [] : [{ ...cook, deletedAt: cook.deletedAt }],
    );
}

/** @returns the latest deleted first, each with the instant from which on it is gone */
export async function listDeleted(store: Store): Promise<(CookRow & { goneAt: string })[]> {
  const breathe = createBreath();
  const listed: (CookRow & { goneAt: string })[] = [];
  for (const cook of deletedCooks(store)) {
    const goneAt = new Date(cook.deletedAt + RESTORABLE_DAYS * DAY_MS).toISOString();
    listed.push({ ...(await rowOf(store, cook)), goneAt });
    await breathe();
  }
  return listed.sort((a, b) => (a.goneAt < b.goneAt ? 1 : -1));
}

/**
 * Removes for good what was deleted long enough ago, piece by piece.
 * @param wall ms since the epoch
 * @returns how many cooks are gone
 */
export async function removeLongDeleted(store: Store, wall: number): Promise<number> {
  let gone = 0;
  for (const { id, deletedAt, startedAt, endedAt } of deletedCooks(store)) {
    if (deletedAt < Math.max(startedAt, endedAt ?? 0)) {
      // The clock was wrong when it was deleted, or is now: its days are counted anew.
      store.patchCook(id, { deletedAt: Math.max(wall, startedAt, endedAt ?? 0) });
      continue;
    }
    if (wall - deletedAt < RESTORABLE_DAYS * DAY_MS) continue;
    const breathe = createBreath();
    for (let part = 0; part < MAX_PARTS && store.thinOutCook(id); part++) await breathe();
    store.removeCook(id);
    gone += 1;
  }
  return gone;
}
