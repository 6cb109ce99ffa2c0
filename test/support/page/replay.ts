import type { Now } from '../../../shared/api/live.ts';
import { call, type Server } from '../server.ts';

/** A replay that a test moves on step by step: the cook waits for the page, never the page for the cook. */

export const nowOf = async (server: Server): Promise<Now> =>
  (await call(server.url, 'GET', '/api/now')).body as unknown as Now;

export const rehearse = (server: Server, act: object) => call(server.url, 'POST', '/api/rehearsal', act);

/** Stands still at `t` s of what plays, of `file` where it is named. @param more as `/api/rehearsal` takes it */
export async function standAt(server: Server, t: number, file?: string, more: object = {}): Promise<void> {
  if (file !== undefined) await rehearse(server, { do: 'start', file, pace: 1, ...more });
  await rehearse(server, { do: 'seek', t });
  await rehearse(server, { do: 'pause' });
}

/** Plays on by so many seconds of the cook at once; it stands still afterwards. */
export async function advance(server: Server, seconds: number): Promise<Now> {
  const answer = await rehearse(server, { do: 'step', seconds });
  if (answer.status >= 300) throw new Error(`the replay did not move on: ${JSON.stringify(answer.body)}`);
  return nowOf(server);
}

/**
 * Moves on until `wanted` holds, and stands still there.
 * @param within seconds of the cook
 * @throws Error with the last document where it never holds
 */
export async function advanceUntil(
  server: Server,
  wanted: (now: Now) => boolean,
  within: number,
  step = 5,
): Promise<Now> {
  let now = await nowOf(server);
  for (let gone = 0; !wanted(now); gone += step) {
    if (gone > within)
      throw new Error(
        `it did not come about within ${gone} s of the cook; last: ${now.state}, ${now.alerts.map(({ alert }) => alert).join(', ')}`,
      );
    now = await advance(server, step);
  }
  return now;
}

export const hasAlert =
  (name: string) =>
  (now: Now): boolean =>
    now.alerts.some(({ alert }) => alert === name);
