import { isDeepStrictEqual } from 'node:util';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { liveChange, liveHeartbeat, liveSnapshot } from '../../shared/api/live.ts';
import { playLive } from '../support/live-cook.ts';
import { openSession } from '../support/session.ts';

const message = z.discriminatedUnion('type', [liveSnapshot, liveChange, liveHeartbeat]);

/**
 * What the schema does not accept, or would leave out: zod drops members that a schema does not name, so that a message
 * which comes out of it as it went in has no more than the schema says, at any depth.
 */
function difference(text: string): string | null {
  const sent: unknown = JSON.parse(text);
  const read = message.safeParse(sent);
  if (!read.success) return z.prettifyError(read.error);
  return isDeepStrictEqual(read.data, sent) ? null : `more than its schema says: ${text.slice(0, 300)}`;
}

/** Every message that a page gets of an evening that is played live; the page leaves and comes back once. */
async function playedTo(send: (text: string) => void): Promise<void> {
  let publish: (() => void) | null = null;
  const never = setTimeout(() => {}, 0);
  const bench = openSession(undefined, undefined, {
    soon: (work) => {
      publish = work;
      return never;
    },
  });
  const peer = { send, buffered: () => 0, close: () => {} };
  let leave = bench.live.join(peer, null);
  let last = 0;
  await playLive(bench, 'good-evening', ({ t }) => {
    if (t - last < 5) return;
    last = t;
    publish?.();
    publish = null;
    bench.live.heartbeat();
    if (t > 3000 && t < 3010) {
      leave();
      leave = bench.live.join(peer, null);
    }
  });
  bench.session.endCook();
  leave();
  bench.store.close();
}

describe('what goes out to the pages', () => {
  it('given an evening played live, sent, each message is what its schema says and no more', async () => {
    const types = new Map<string, number>();
    const members = new Set<string>();
    const wrong = new Set<string>();
    await playedTo((text) => {
      const { type, now } = JSON.parse(text) as { type: string; now?: Record<string, unknown> };
      types.set(type, (types.get(type) ?? 0) + 1);
      for (const [name, value] of Object.entries(now ?? {}))
        if (Array.isArray(value) ? value.length > 0 : value !== null) members.add(name);
      const found = difference(text);
      if (found !== null) wrong.add(found);
    });
    expect([...wrong].slice(0, 5)).toEqual([]);
    expect([...types.keys()].sort()).toEqual(['change', 'heartbeat', 'snapshot']);
    expect(types.get('change')).toBeGreaterThan(1000);
    // Of a member that is always empty the check would say nothing.
    expect([...members]).toEqual(
      expect.arrayContaining(['forecast', 'advice', 'alerts', 'pizzas', 'onStone', 'events', 'cautions']),
    );
  });

  it('given a member that the schema does not name, deep inside, finds it', () => {
    const known = { type: 'heartbeat', seq: 1, at: '2026-06-01T17:00:00.000Z', t: 1 };
    expect(difference(JSON.stringify(known))).toBeNull();
    expect(difference(JSON.stringify({ ...known, more: 1 }))).toContain('more than its schema');
    const lying = { pizza: null, launchedAt: 1, turnAt: null, offAt: 2 };
    const change = (onStone: object) => ({
      type: 'change',
      seq: 1,
      now: { onStone: [onStone] },
      readings: [],
    });
    expect(difference(JSON.stringify(change(lying)))).toBeNull();
    expect(difference(JSON.stringify(change({ ...lying, more: 1 })))).toContain('more than its schema');
    expect(difference(JSON.stringify(change({ pizza: null })))).toContain('launchedAt');
  });
});
