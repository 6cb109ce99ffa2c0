import { describe, expect, it } from 'vitest';
import type { LiveMessage, LiveReading, Now } from '../../shared/api/live.ts';
import { createLive, type Peer } from '../../server/hub/broadcast.ts';
import { atEnd } from '../support/endings.ts';
import { handTimer } from '../support/session.ts';

/** A document with only what this test changes. */
const documentOf = (t: number): Now => ({ t, state: 'cold', channels: [] }) as unknown as Now;

function pageOf(live: ReturnType<typeof createLive>, missed: { run: string; since: number } | null = null) {
  const got: LiveMessage[] = [];
  const page = { got, waiting: 0, leave: () => {} };
  const peer: Peer = {
    send: (text) => got.push(JSON.parse(text) as LiveMessage),
    buffered: () => page.waiting,
    close: () => {},
  };
  page.leave = live.join(peer, missed);
  return page;
}
/** A hub, and what sends a change at once. */
function liveBy(now: () => Now) {
  const soon = handTimer();
  const live = createLive(soon.set);
  atEnd(() => live.close());
  const send = (readings: readonly LiveReading[] = []): void => {
    live.publish({ now }, readings);
    soon.fire();
  };
  send();
  return { live, send };
}

describe('the live hub', () => {
  it('gives a snapshot, then only what changed, each message numbered', () => {
    let t = 0;
    const { live, send } = liveBy(() => documentOf(t));
    const page = pageOf(live);
    t = 1;
    send();
    t = 2;
    send([['stone', 2, 20, 'good']]);
    expect(page.got.map((m) => m.type)).toEqual(['snapshot', 'change', 'change']);
    expect(page.got[2]).toEqual({
      type: 'change',
      seq: 3,
      now: { t: 2 },
      readings: [['stone', 2, 20, 'good']],
    });
  });

  it('given a page that joins before anything was published, gives it the first document whole', () => {
    const soon = handTimer();
    const live = createLive(soon.set);
    atEnd(() => live.close());
    const page = pageOf(live);
    live.heartbeat();
    live.publish({ now: () => documentOf(1) }, [['stone', 1, 20, 'good']]);
    soon.fire();
    expect(page.got).toEqual([{ type: 'snapshot', seq: 1, run: expect.any(String), now: documentOf(1) }]);
  });

  it('gives a page that comes back what it missed, in order, or a snapshot when that is gone', () => {
    let t = 0;
    const { live, send } = liveBy(() => documentOf(t));
    const page = pageOf(live);
    const first = page.got[0];
    const run = first?.type === 'snapshot' ? first.run : '';
    page.leave();
    for (t = 1; t <= 3; t++) send([['stone', t, t, 'good']]);
    const back = pageOf(live, { run, since: 2 });
    expect(back.got.map((m) => [m.type, m.seq])).toEqual([
      ['change', 3],
      ['change', 4],
    ]);
    expect(pageOf(live, { run, since: 9 }).got[0]?.type).toBe('snapshot');
    expect(pageOf(live, { run: 'another', since: 2 }).got[0]?.type).toBe('snapshot');
  });

  it('keeps of what a page missed no more than it could take at once', () => {
    let t = 0;
    const notes = 'n'.repeat(100 * 1024);
    const { live, send } = liveBy(() => ({ ...documentOf(t), name: `${t} ${notes}` }) as unknown as Now);
    const first = pageOf(live).got[0];
    const run = first?.type === 'snapshot' ? first.run : '';
    for (t = 1; t <= 7; t++) send();
    expect(pageOf(live, { run, since: 3 }).got.map(({ seq }) => seq)).toEqual([4, 5, 6, 7, 8]);
    expect(pageOf(live, { run, since: 2 }).got.map(({ type }) => type)).toEqual(['snapshot']);
  });

  it('leaves a stalled page behind, without a cost to the others, and gives it a snapshot once it takes again', () => {
    let t = 0;
    const { live, send } = liveBy(() => documentOf(t));
    const stalled = pageOf(live);
    const well = pageOf(live);
    stalled.waiting = 10 * 1024 * 1024;
    for (t = 1; t <= 2; t++) send();
    expect(well.got).toHaveLength(3);
    expect(stalled.got).toHaveLength(1);
    stalled.waiting = 0;
    send();
    expect(stalled.got.at(-1)?.type).toBe('snapshot');
  });

  it('sends of a document drawn anew what says something else, whichever members are the same objects', () => {
    const forecast = { t: 1 };
    let drawn = { t: 1, forecast, alerts: [{ id: 1 }] };
    const { live, send } = liveBy(() => drawn as unknown as Now);
    const page = pageOf(live);
    send();
    drawn = { t: 2, forecast, alerts: [{ id: 1 }] };
    send();
    drawn = { t: 2, forecast: { t: 2 }, alerts: [{ id: 2 }] };
    send();
    expect(page.got.slice(2).map((m) => m.type === 'change' && m.now)).toEqual([
      { t: 2 },
      { forecast: { t: 2 }, alerts: [{ id: 2 }] },
    ]);
  });
});
