import { ALERT_KINDS, type AlertName } from '../../shared/alert/kinds.ts';
import type { Escalated } from '../../shared/api/escalation.ts';
import type { Now } from '../../shared/api/live.ts';

/** What goes out, to whom and when: pure, in seconds of the cook. */
export type Target = 'terminal' | 'webhook' | 'mqtt';
/** `next` is when it is tried (again), s; Infinity while it is on its way. */
export type Delivery = { target: Target; notice: Escalated; tries: number; next: number };
export type EscalationState = {
  cook: number | null;
  /** Since when no page has been listening, s; null while one is. */
  withoutPageSince: number | null;
  deliveries: readonly Delivery[];
  /** `target id` of what has arrived, newest last. */
  arrived: readonly string[];
};
export type Seen = {
  now: Pick<Now, 't' | 'cook' | 'alerts' | 'lidHazard'>;
  /** Pages that listen. */
  listeners: number;
  targets: readonly Target[];
  afterSeconds: number;
};

/** A page that is loaded again is away for a moment, s. */
const NO_PAGE_SECONDS = 15;
const FIRST_RETRY_SECONDS = 5;
const LONGEST_RETRY_SECONDS = 300;
const MAX_REMEMBERED = 200;

export const initialState = (arrived: readonly string[] = []): EscalationState => ({
  cook: null,
  withoutPageSince: null,
  deliveries: [],
  arrived,
});

const keyOf = ({ target, notice }: Pick<Delivery, 'target' | 'notice'>): string => `${target} ${notice.id}`;

/** @returns what is so now, and what is to be sent at once */
export function dueDeliveries(
  before: EscalationState,
  seen: Seen,
): { state: EscalationState; send: Delivery[] } {
  const { t, cook } = seen.now;
  if (t === null || cook === null || cook.rehearsal) return { state: initialState(before.arrived), send: [] };
  const same = before.cook === cook.id ? before : { ...initialState(before.arrived), cook: cook.id };
  const withoutPageSince = seen.listeners > 0 ? null : (same.withoutPageSince ?? t);
  const standing = seen.now.alerts.flatMap((alert) => noticeOf(alert, t, withoutPageSince, cook, seen));
  const deliveries = standing.flatMap((notice) =>
    seen.targets.map(
      (target) =>
        same.deliveries.find(
          (delivery) => delivery.target === target && delivery.notice.id === notice.id,
        ) ?? {
          target,
          notice,
          tries: 0,
          next: t,
        },
    ),
  );
  const open = deliveries.filter((delivery) => !same.arrived.includes(keyOf(delivery)));
  const send = open.filter((delivery) => delivery.next <= t);
  const sent = open.map((delivery) =>
    send.includes(delivery) ? { ...delivery, tries: delivery.tries + 1, next: Infinity } : delivery,
  );
  return { state: { ...same, withoutPageSince, deliveries: sent }, send };
}

/**
 * Whoever reads it comes to the grill and lifts the lid: what goes before that while the fire may flare is in
 * it too.
 */
const withLid = (alert: AlertName, message: string, { lidHazard }: Seen['now']): string =>
  lidHazard && !ALERT_KINDS[alert].shutsLid ? `${message} ${lidHazard.text}` : message;

/** The notice of an urgent alert that nobody has seen for long enough; none of any other. */
function noticeOf(
  { alert, state, urgency, message, pizza, raisedAt, since }: Now['alerts'][number],
  t: number,
  withoutPageSince: number | null,
  cook: NonNullable<Now['cook']>,
  { afterSeconds, now }: Seen,
): Escalated[] {
  if (urgency !== 'urgent' || state !== 'unacknowledged') return [];
  const nobody = withoutPageSince !== null && t - Math.max(withoutPageSince, since) >= NO_PAGE_SECONDS;
  if (!nobody && t - since < afterSeconds) return [];
  return [
    {
      id: [cook.id, alert, ...(pizza === undefined ? [] : [pizza]), Math.round(raisedAt * 1000)].join('-'),
      alert,
      message: withLid(alert, message, now),
      reason: nobody ? 'no-page' : 'unacknowledged',
      cook: { id: cook.id, name: cook.name },
      pizza: pizza ?? null,
      raisedAt: new Date(Date.parse(cook.startedAt) + raisedAt * 1000).toISOString(),
    },
  ];
}

export function arrived(state: EscalationState, delivery: Delivery): EscalationState {
  const key = keyOf(delivery);
  return {
    ...state,
    deliveries: state.deliveries.filter((delivery) => keyOf(delivery) !== key),
    arrived: [...state.arrived, key].slice(-MAX_REMEMBERED),
  };
}

/** Tried again after 5 s, 15 s, 45 s … at most 5 min, as long as the alert stands. */
export function failed(state: EscalationState, delivery: Delivery, t: number): EscalationState {
  const key = keyOf(delivery);
  return {
    ...state,
    deliveries: state.deliveries.map((delivery) =>
      keyOf(delivery) === key
        ? {
            ...delivery,
            next: t + Math.min(LONGEST_RETRY_SECONDS, FIRST_RETRY_SECONDS * 3 ** (delivery.tries - 1)),
          }
        : delivery,
    ),
  };
}
