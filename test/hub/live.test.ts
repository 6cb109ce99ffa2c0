import { describe, expect, it } from 'vitest';
import type { LiveMessage, Now } from '../../shared/api/live.ts';
import { createLive, type Peer } from '../../server/hub/live.ts';
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
  return { live: createLive(now, soon.set), push: soon.fire };
}

describe('the live hub', () => {
  it('gives a snapshot, then only what changed, each message numbered', () => {
    let t = 1;
    const { live, push } = liveBy(() => documentOf(t));
    const page = pageOf(live);
    live.changed();
    push();
    t = 2;
    live.changed([['stone', 2, 20, 'good']]);
    push();
    expect(page.got.map((m) => m.type)).toEqual(['snapshot', 'change', 'change']);
    expect(page.got[2]).toEqual({
      type: 'change',
      seq: 2,
      now: { t: 2 },
      readings: [['stone', 2, 20, 'good']],
    });
    live.close();
  });

  it('gives a page that comes back what it missed, in order, or a snapshot when that is gone', () => {
    let t = 0;
    const { live, push } = liveBy(() => documentOf(t));
    const page = pageOf(live);
    const first = page.got[0];
    const run = first?.type === 'snapshot' ? first.run : '';
    page.leave();
    for (t = 1; t <= 3; t++) {
      live.changed([['stone', t, t, 'good']]);
      push();
    }
    const back = pageOf(live, { run, since: 1 });
    expect(back.got.map((m) => [m.type, m.seq])).toEqual([
      ['change', 2],
      ['change', 3],
    ]);
    expect(pageOf(live, { run, since: 9 }).got[0]?.type).toBe('snapshot');
    expect(pageOf(live, { run: 'another', since: 2 }).got[0]?.type).toBe('snapshot');
    live.close();
  });

  it('keeps of what a page missed no more than it could take at once', () => {
    let t = 0;
    const notes = 'n'.repeat(100 * 1024);
    const { live, push } = liveBy(() => ({ ...documentOf(t), name: `${t} ${notes}` }) as unknown as Now);
    const first = pageOf(live).got[0];
    const run = first?.type === 'snapshot' ? first.run : '';
    for (t = 1; t <= 7; t++) {
      live.changed();
      push();
    }
    expect(pageOf(live, { run, since: 2 }).got.map(({ seq }) => seq)).toEqual([3, 4, 5, 6, 7]);
    expect(pageOf(live, { run, since: 1 }).got.map(({ type }) => type)).toEqual(['snapshot']);
    live.close();
  });

  it('leaves a stalled page behind, without a cost to the others, and gives it a snapshot once it takes again', () => {
    let t = 0;
    const { live, push } = liveBy(() => documentOf(t));
    const stalled = pageOf(live);
    const well = pageOf(live);
    stalled.waiting = 10 * 1024 * 1024;
    for (t = 1; t <= 2; t++) {
      live.changed();
      push();
    }
    expect(well.got).toHaveLength(3);
    expect(stalled.got).toHaveLength(1);
    stalled.waiting = 0;
    live.changed();
    push();
    expect(stalled.got.at(-1)?.type).toBe('snapshot');
    live.close();
  });

  it('sends of a document drawn anew what says something else, whichever members are the same objects', () => {
    const forecast = { t: 1 };
    let drawn = { t: 1, forecast, alerts: [{ id: 1 }] };
    const { live, push } = liveBy(() => drawn as unknown as Now);
    const page = pageOf(live);
    live.changed();
    push();
    drawn = { t: 2, forecast, alerts: [{ id: 1 }] };
    live.changed();
    push();
    drawn = { t: 2, forecast: { t: 2 }, alerts: [{ id: 2 }] };
    live.changed();
    push();
    expect(page.got.slice(2).map((m) => m.type === 'change' && m.now)).toEqual([
      { t: 2 },
      { forecast: { t: 2 }, alerts: [{ id: 2 }] },
    ]);
    live.close();
  });
});
