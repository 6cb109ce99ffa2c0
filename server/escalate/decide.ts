import type { Escalated } from '../../shared/escalation.ts';
import type { Now } from '../../shared/live.ts';

/** What goes out, to whom and when: pure, in seconds of the cook. */
export type Target = 'terminal' | 'webhook' | 'mqtt';
/** `next` is when it is tried (again), s; Infinity while it is on its way. */
export type Errand = { target: Target; notice: Escalated; tries: number; next: number };
export type Escalating = {
  cook: number | null;
  /** Since when no page has been listening, s; null while one is. */
  unheardSince: number | null;
  errands: readonly Errand[];
  /** `target id` of what has arrived, newest last. */
  arrived: readonly string[];
};
export type Seen = {
  now: Pick<Now, 't' | 'cook' | 'alerts'>;
  /** Pages that listen. */
  listeners: number;
  targets: readonly Target[];
  afterSeconds: number;
};

/** A page that is loaded again is away for a moment, s. */
const NO_PAGE_SECONDS = 15;
const FIRST_RETRY_SECONDS = 5;
const LONGEST_RETRY_SECONDS = 300;
const REMEMBERED = 200;

export const calm = (arrived: readonly string[] = []): Escalating => ({
  cook: null,
  unheardSince: null,
  errands: [],
  arrived,
});

const keyOf = ({ target, notice }: Pick<Errand, 'target' | 'notice'>): string => `${target} ${notice.id}`;

/** @returns what is so now, and what is to be sent at once */
export function decide(before: Escalating, seen: Seen): { state: Escalating; send: Errand[] } {
  const { t, cook } = seen.now;
  if (t === null || cook === null || cook.rehearsal) return { state: calm(before.arrived), send: [] };
  const same = before.cook === cook.id ? before : { ...calm(before.arrived), cook: cook.id };
  const unheardSince = seen.listeners > 0 ? null : (same.unheardSince ?? t);
  const standing = seen.now.alerts.flatMap((alert) => noticeOf(alert, t, unheardSince, cook, seen));
  const errands = standing.flatMap((notice) =>
    seen.targets.map(
      (target) =>
        same.errands.find((one) => one.target === target && one.notice.id === notice.id) ?? {
          target,
          notice,
          tries: 0,
          next: t,
        },
    ),
  );
  const open = errands.filter((one) => !same.arrived.includes(keyOf(one)));
  const send = open.filter((one) => one.next <= t);
  const sent = open.map((one) =>
    send.includes(one) ? { ...one, tries: one.tries + 1, next: Infinity } : one,
  );
  return { state: { ...same, unheardSince, errands: sent }, send };
}

/** The notice of an urgent alert that nobody has seen for long enough; none of any other. */
function noticeOf(
  { alert, state, urgency, message, pizza, raisedAt, since }: Now['alerts'][number],
  t: number,
  unheardSince: number | null,
  cook: NonNullable<Now['cook']>,
  { afterSeconds }: Seen,
): Escalated[] {
  if (urgency !== 'urgent' || state !== 'unacknowledged') return [];
  const nobody = unheardSince !== null && t - Math.max(unheardSince, since) >= NO_PAGE_SECONDS;
  if (!nobody && t - since < afterSeconds) return [];
  return [
    {
      id: [cook.id, alert, ...(pizza === undefined ? [] : [pizza]), Math.round(raisedAt * 1000)].join('-'),
      alert,
      message,
      reason: nobody ? 'no-page' : 'unacknowledged',
      cook: { id: cook.id, name: cook.name },
      pizza: pizza ?? null,
      raisedAt: new Date(Date.parse(cook.startedAt) + raisedAt * 1000).toISOString(),
    },
  ];
}

export function arrived(state: Escalating, errand: Errand): Escalating {
  const key = keyOf(errand);
  return {
    ...state,
    errands: state.errands.filter((one) => keyOf(one) !== key),
    arrived: [...state.arrived, key].slice(-REMEMBERED),
  };
}

/** Tried again after 5 s, 15 s, 45 s … at most 5 min, as long as the alert stands. */
export function failed(state: Escalating, errand: Errand, t: number): Escalating {
  const key = keyOf(errand);
  return {
    ...state,
    errands: state.errands.map((one) =>
      keyOf(one) === key
        ? { ...one, next: t + Math.min(LONGEST_RETRY_SECONDS, FIRST_RETRY_SECONDS * 3 ** (one.tries - 1)) }
        : one,
    ),
  };
}
