import { describe, expect, it } from 'vitest';
import type { LiveMessage, LiveReading, Now } from '../../shared/api/live.ts';
import { createLive, type Peer } from '../../server/hub/broadcast.ts';
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
/** A hub whose wait for more changes ends when the test says so. */
function liveBy(now: () => Now) {
  const soon = handTimer();
  const live = createLive(soon.set);
  const publish = (readings: readonly LiveReading[] = []): void => live.publish({ now }, readings);
  publish();
  soon.fire();
  return { live, publish, push: soon.fire };
}

describe('the live hub', () => {
  it('gives a snapshot, then only what changed, each message numbered', () => {
    let t = 0;
    const { live, publish, push } = liveBy(() => documentOf(t));
    const page = pageOf(live);
    t = 1;
    publish();
    push();
    t = 2;
    publish([['stone', 2, 20, 'good']]);
    push();
    expect(page.got.map((m) => m.type)).toEqual(['snapshot', 'change', 'change']);
    expect(page.got[2]).toEqual({
      type: 'change',
      seq: 3,
      now: { t: 2 },
      readings: [['stone', 2, 20, 'good']],
    });
    live.close();
  });

  it('given a page that joins before anything was published, gives it the first document whole', () => {
    const soon = handTimer();
    const live = createLive(soon.set);
    const page = pageOf(live);
    live.heartbeat();
    live.publish({ now: () => documentOf(1) }, [['stone', 1, 20, 'good']]);
    soon.fire();
    expect(page.got).toEqual([{ type: 'snapshot', seq: 1, run: expect.any(String), now: documentOf(1) }]);
    live.close();
  });

  it('gives a page that comes back what it missed, in order, or a snapshot when that is gone', () => {
    let t = 0;
    const { live, publish, push } = liveBy(() => documentOf(t));
    const page = pageOf(live);
    const first = page.got[0];
    const run = first?.type === 'snapshot' ? first.run : '';
    page.leave();
    for (t = 1; t <= 3; t++) {
      publish([['stone', t, t, 'good']]);
      push();
    }
    const back = pageOf(live, { run, since: 2 });
    expect(back.got.map((m) => [m.type, m.seq])).toEqual([
      ['change', 3],
      ['change', 4],
    ]);
    expect(pageOf(live, { run, since: 9 }).got[0]?.type).toBe('snapshot');
    expect(pageOf(live, { run: 'another', since: 2 }).got[0]?.type).toBe('snapshot');
    live.close();
  });

  it('keeps of what a page missed no more than it could take at once', () => {
    let t = 0;
    const notes = 'n'.repeat(100 * 1024);
    const { live, publish, push } = liveBy(
      () => ({ ...documentOf(t), name: `${t} ${notes}` }) as unknown as Now,
    );
    const first = pageOf(live).got[0];
    const run = first?.type === 'snapshot' ? first.run : '';
    for (t = 1; t <= 7; t++) {
      publish();
      push();
    }
    expect(pageOf(live, { run, since: 3 }).got.map(({ seq }) => seq)).toEqual([4, 5, 6, 7, 8]);
    expect(pageOf(live, { run, since: 2 }).got.map(({ type }) => type)).toEqual(['snapshot']);
    live.close();
  });

  it('leaves a stalled page behind, without a cost to the others, and gives it a snapshot once it takes again', () => {
    let t = 0;
    const { live, publish, push } = liveBy(() => documentOf(t));
    const stalled = pageOf(live);
    const well = pageOf(live);
    stalled.waiting = 10 * 1024 * 1024;
    for (t = 1; t <= 2; t++) {
      publish();
      push();
    }
    expect(well.got).toHaveLength(3);
    expect(stalled.got).toHaveLength(1);
    stalled.waiting = 0;
    publish();
    push();
    expect(stalled.got.at(-1)?.type).toBe('snapshot');
    live.close();
  });

  it('sends of a document drawn anew what says something else, whichever members are the same objects', () => {
    const forecast = { t: 1 };
    let drawn = { t: 1, forecast, alerts: [{ id: 1 }] };
    const { live, publish, push } = liveBy(() => drawn as unknown as Now);
    const page = pageOf(live);
    publish();
    push();
    drawn = { t: 2, forecast, alerts: [{ id: 1 }] };
    publish();
    push();
    drawn = { t: 2, forecast: { t: 2 }, alerts: [{ id: 2 }] };
    publish();
    push();
    expect(page.got.slice(2).map((m) => m.type === 'change' && m.now)).toEqual([
      { t: 2 },
      { forecast: { t: 2 }, alerts: [{ id: 2 }] },
    ]);
    live.close();
  });
});
