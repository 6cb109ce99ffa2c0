import { describe, expect, it } from 'vitest';
import {
  arrived,
  initialState,
  dueDeliveries,
  failed,
  type EscalationState,
  type Delivery,
  type Seen,
} from '../../server/escalate/deliveries.ts';
import type { Now } from '../../shared/api/live.ts';

type Alert = Now['alerts'][number];
const cook = {
  id: 7,
  name: 'Saturday',
  startedAt: '2026-06-01T17:00:00.000Z',
  endedAt: null,
  rehearsal: false,
  targets: { stone: [255, 285] as [number, number] },
};
const alert = (more: Partial<Alert> = {}): Alert => ({
  alert: 'dome-too-hot',
  state: 'unacknowledged',
  urgency: 'urgent',
  message: 'Dome 391 °C: close the vents.',
  raisedAt: 100,
  since: 100,
  why: {},
  ...more,
});
type More = Partial<Seen> & { alerts?: Alert[]; rehearsal?: boolean; lid?: Partial<Seen['now']> };
const seen = (t: number, more: More = {}): Seen => ({
  now: {
    t,
    cook: { ...cook, rehearsal: more.rehearsal ?? false },
    alerts: more.alerts ?? [alert()],
    lidHazard: null,
    ...more.lid,
  },
  listeners: more.listeners ?? 1,
  targets: more.targets ?? ['webhook'],
  afterSeconds: 60,
});

/** Goes second by second. @returns when what was sent, and what came of it by `result` */
function course(
  seconds: readonly number[],
  at: (t: number) => Seen,
  result: (state: EscalationState, delivery: Delivery, t: number) => EscalationState = arrived,
  from = initialState(),
): { sent: { t: number; reason: string; id: string; target: string }[]; state: EscalationState } {
  let state = from;
  const sent = [];
  for (const t of seconds) {
    const step = dueDeliveries(state, at(t));
    state = step.state;
    for (const delivery of step.send) {
      sent.push({ t, reason: delivery.notice.reason, id: delivery.notice.id, target: delivery.target });
      state = result(state, delivery, t);
    }
  }
  return { sent, state };
}
const every = (from: number, to: number): number[] =>
  Array.from({ length: to - from + 1 }, (_, i) => from + i);

describe('what goes out, and when', () => {
  it('an urgent alert that nobody acknowledges for its time, once', () => {
    const { sent } = course(every(100, 400), (t) => seen(t));
    expect(sent).toEqual([
      { t: 160, reason: 'unacknowledged', id: '7-dome-too-hot-100000', target: 'webhook' },
    ]);
  });

  it('with what goes before the lid, while a lid that goes up could let the fire flare', () => {
    const lidHazard = { text: 'Before the lid: open the vents, wait 10 s.', why: '', source: '' };
    const textOf = (lid: Partial<Seen['now']>, name: Alert['alert'] = 'off-due') =>
      dueDeliveries(
        initialState(),
        seen(200, { alerts: [alert({ alert: name, message: 'Take off Ada.' })], lid }),
      ).send[0]?.notice.message;
    expect(textOf({ lidHazard })).toBe('Take off Ada. Before the lid: open the vents, wait 10 s.');
    expect(textOf({ lidHazard: null })).toBe('Take off Ada.');
    expect(textOf({ lidHazard }, 'lid-left-open')).toBe('Take off Ada.');
  });

  it('sooner where no page listens, to every target', () => {
    const { sent } = course(every(100, 300), (t) => seen(t, { listeners: 0, targets: ['webhook', 'mqtt'] }));
    expect(sent.map(({ t, reason, target }) => [t, reason, target])).toEqual([
      [115, 'no-page', 'webhook'],
      [115, 'no-page', 'mqtt'],
    ]);
  });

  it('not for a page that is loaded again', () => {
    const { sent } = course(every(100, 159), (t) => seen(t, { listeners: t % 20 < 10 ? 0 : 1 }));
    expect(sent).toEqual([]);
  });

  it.each([
    ['what is not urgent', { alerts: [alert({ urgency: 'act' })] }],
    ['what a person has acknowledged', { alerts: [alert({ state: 'acknowledged' })] }],
    ['what is shelved', { alerts: [alert({ state: 'shelved' })] }],
    ['what has passed', { alerts: [alert({ state: 'returned' })] }],
    ['a rehearsal', { rehearsal: true }],
    ['anything while both ways are off', { targets: [] }],
  ])('never %s', (_what, more) => {
    expect(course(every(100, 1000), (t) => seen(t, { ...more, listeners: 0 })).sent).toEqual([]);
  });

  it('tries again after 5, 15, 45, 135, then every 300 s, with the same id, as long as it stands', () => {
    const { sent } = course(every(100, 1200), (t) => seen(t, { alerts: t < 1000 ? [alert()] : [] }), failed);
    expect(sent.map(({ t }) => t)).toEqual([160, 165, 180, 225, 360, 660, 960]);
    expect(new Set(sent.map(({ id }) => id)).size).toBe(1);
  });

  it('does not send twice while the first is being sent', () => {
    const { sent } = course(
      every(100, 400),
      (t) => seen(t),
      (state) => state,
    );
    expect(sent).toHaveLength(1);
  });

  it('does not send again after a restart what has arrived, but does when it is raised anew', () => {
    const { state } = course(every(100, 200), (t) => seen(t));
    const again = course(every(200, 400), (t) => seen(t), arrived, initialState(state.arrived));
    expect(again.sent).toEqual([]);
    const anew = course(
      every(500, 700),
      (t) => seen(t, { alerts: [alert({ raisedAt: 500, since: 500 })] }),
      arrived,
      again.state,
    );
    expect(anew.sent.map(({ id }) => id)).toEqual(['7-dome-too-hot-500000']);
  });
});
