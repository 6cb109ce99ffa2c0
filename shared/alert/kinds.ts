import type { Urgency } from '../engine.ts';
import type { CookEventName } from '../event.ts';
import type { AlertName } from '../words.ts';

type AlertKind = {
  urgency: Urgency;
  /** Doing so is also having seen it. */
  answeredBy: readonly CookEventName[];
  /** It takes the whole screen though it is but a prompt: the whole evening waits for it. */
  fillsScreen?: true;
  /** While that one stands, it says what this one foretold. */
  coveredBy?: AlertName;
};

/** Every alert, and of two that are equally urgent first the one that spoils or endangers sooner. */
export const ALERT_KINDS: Record<AlertName, AlertKind> = {
  'dome-too-hot': {
    urgency: 'urgent',
    answeredBy: ['vent'],
  },
  'off-due': {
    urgency: 'urgent',
    answeredBy: [],
  },
  'turn-due': {
    urgency: 'act',
    answeredBy: [],
  },
  'lid-left-open': {
    urgency: 'act',
    answeredBy: ['lid-closed'],
  },
  'probe-lost': {
    urgency: 'urgent',
    answeredBy: [],
  },
  overshot: {
    urgency: 'act',
    answeredBy: ['vent'],
  },
  'overshoot-ahead': {
    urgency: 'act',
    coveredBy: 'overshot',
    answeredBy: ['vent'],
  },
  'fire-fading': {
    urgency: 'act',
    answeredBy: ['vent', 'fuel'],
  },
  'stone-ready': {
    urgency: 'prompt',
    answeredBy: ['launch'],
    fillsScreen: true,
  },
  'look-due': {
    urgency: 'prompt',
    answeredBy: [],
  },
  'probe-doubtful': {
    urgency: 'prompt',
    answeredBy: [],
  },
};

const RANK = Object.keys(ALERT_KINDS);
const URGENCY: Record<Urgency, number> = { urgent: 0, act: 1, prompt: 2 };

const CALLS: readonly string[] = ['unacknowledged', 'acknowledged', 'shelved'];

/** Without those that another one covers, which stands. */
export const uncovered = <A extends { alert: AlertName; state: string }>(alerts: readonly A[]): A[] =>
  alerts.filter(({ alert }) => {
    const by = ALERT_KINDS[alert]?.coveredBy;
    return !alerts.some((other) => other.alert === by && CALLS.includes(other.state));
  });

/** The most urgent first; one that this program does not know comes last among its equals. */
export const byUrgency = <A extends { alert: string; urgency: Urgency }>(alerts: readonly A[]): A[] => {
  const rank = ({ alert }: A): number => (RANK.includes(alert) ? RANK.indexOf(alert) : RANK.length);
  return [...alerts].sort((a, b) => URGENCY[a.urgency] - URGENCY[b.urgency] || rank(a) - rank(b));
};
