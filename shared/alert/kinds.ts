import type { Urgency, Why } from '../words.ts';
import type { AlertKind } from './kind.ts';
import { domeTooHot } from './kinds/dome-too-hot.ts';
import { fireFading } from './kinds/fire-fading.ts';
import { lidLeftOpen } from './kinds/lid-left-open.ts';
import { lookDue } from './kinds/look-due.ts';
import { offDue } from './kinds/off-due.ts';
import { overshootAhead } from './kinds/overshoot-ahead.ts';
import { overshot } from './kinds/overshot.ts';
import { probeDoubtful } from './kinds/probe-doubtful.ts';
import { probeLost } from './kinds/probe-lost.ts';
import { stoneReady } from './kinds/stone-ready.ts';
import { turnDue } from './kinds/turn-due.ts';

/** Every alert, and of two that are equally urgent first the one that spoils or endangers sooner. */
const ALERT_LIST = [
  domeTooHot,
  offDue,
  turnDue,
  lidLeftOpen,
  probeLost,
  overshot,
  overshootAhead,
  fireFading,
  stoneReady,
  lookDue,
  probeDoubtful,
] as const;

type Listed = (typeof ALERT_LIST)[number];
export type AlertName = Listed['name'];
export const ALERTS: readonly AlertName[] = ALERT_LIST.map(({ name }) => name);

/** The numbers that the condition of an alert finds and its words say. */
export type ParametersOf<N extends AlertName> = N extends AlertName
  ? Extract<Listed, { name: N }> extends AlertKind<N, infer P>
    ? P
    : never
  : never;

export const ALERT_KINDS: Readonly<Record<AlertName, AlertKind>> = Object.fromEntries(
  ALERT_LIST.map((kind) => [kind.name, kind]),
) as Record<AlertName, Listed>;

const URGENCY_RANK: Record<Urgency, number> = { urgent: 0, act: 1, prompt: 2 };

/** Those that call now, without those that yield to another one that nobody has seen yet. */
export const calling = <A extends { alert: AlertName; state: string; why: Why }>(alerts: readonly A[]): A[] =>
  alerts.filter(({ alert, why }) => {
    const first = ALERT_KINDS[alert]?.yieldsTo;
    return !(
      first?.hasTime(why) &&
      alerts.some((other) => other.alert === first.alert && other.state === 'unacknowledged')
    );
  });

/** The most urgent first; one that this program does not know comes last among its equals. */
export const byUrgency = <A extends { alert: string; urgency: Urgency }>(alerts: readonly A[]): A[] => {
  const rank = ({ alert }: A): number => {
    const at = ALERT_LIST.findIndex(({ name }) => name === alert);
    return at < 0 ? ALERT_LIST.length : at;
  };
  return [...alerts].sort((a, b) => URGENCY_RANK[a.urgency] - URGENCY_RANK[b.urgency] || rank(a) - rank(b));
};
