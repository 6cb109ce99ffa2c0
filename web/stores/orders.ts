import type { AlertName } from '../../shared/words.ts';
import { formatDegrees, formatDifference, formatSpan } from '../lib/format.ts';
import { ranked, type Standing } from './alerts.ts';
import { waiting } from './pizzas.ts';
import { channelOf, say, sayStone, type Sentence, type Tone, type View } from './say.ts';

/** What each alert orders, in the person's own unit: the server's message has its numbers in °C. Pure. */

type Order = (view: View, alert: Standing) => Sentence;

const number = (alert: Standing, key: string): number | null => {
  const value = alert.why[key];
  return typeof value === 'number' ? value : null;
};

const pizzaName = ({ now }: View, { pizza }: Standing): string =>
  now.pizzas.find((p) => p.id === pizza)?.name || 'the pizza';

const ORDERS: Record<AlertName, Order> = {
  'stone-ready': (view) => sayStone('go', 'go', 'ready', view, launchNow(view)),
  'dome-too-hot': ({ now, unit }) => {
    const dome = formatDegrees(channelOf(now, 'dome')?.celsius ?? null, unit);
    return say('urgent', 'close', 'dome too hot', 'Close the vents', `dome ${dome}, over its limit`);
  },
  'off-due': (view, alert) => {
    const name = pizzaName(view, alert);
    return say('urgent', 'off', `off ${name}`, 'Off now', `take ${name} off the stone`);
  },
  'turn-due': (view, alert) => {
    const name = pizzaName(view, alert);
    return say('act', 'turn', `turn ${name}`, 'Turn now', `turn ${name}`);
  },
  'lid-left-open': () => say('act', 'lid', 'lid left open', 'Close the lid', 'the heat is getting out'),
  overshot: (view) => over(view, 'urgent'),
  'overshoot-ahead': overshootAhead,
  'fire-fading': (view, alert) => {
    const at = view.now.forecast?.fadesAt ?? number(alert, 'fadesAt');
    const soon = at !== null && at > view.t;
    const when = soon ? `fading, below the band in ${formatSpan(at - view.t)}` : 'the fire is fading';
    return say('act', 'open', 'fire fading', 'Open the vents', when);
  },
  'probe-lost': (_view, { message }) => say('urgent', 'doubt', 'probe lost', 'Check the probe', message),
  'probe-doubtful': (_view, { message }) => say('act', 'doubt', 'probe doubtful', 'Check the probe', message),
};

export const orderOf = (view: View, alert: Standing): Sentence => ORDERS[alert.alert](view, alert);

/** These change what is said; the state says it anyway for the others. */
const SAID: readonly AlertName[] = [
  'dome-too-hot',
  'off-due',
  'turn-due',
  'lid-left-open',
  'overshot',
  'overshoot-ahead',
  'fire-fading',
];

/** It was seen, and what was done since leads elsewhere: the alert stands until that is sure, its order does not. */
const isAnswered = ({ now }: View, { alert, state }: Standing): boolean =>
  alert === 'overshoot-ahead' && state === 'acknowledged' && now.forecast?.overAt === null;

/** What the most urgent alert orders that stands, of those that were seen or of those that were not. */
export function ordered(view: View, state: 'unacknowledged' | 'acknowledged'): Sentence | null {
  const first = ranked(view.now.alerts).find(
    (a) => a.state === state && SAID.includes(a.alert) && !isAnswered(view, a),
  );
  return first ? orderOf(view, first) : null;
}

export function launchNow({ now }: View): string {
  const name = waiting(now)[0]?.name;
  return name ? `launch ${name} now` : 'launch now';
}

function overshootAhead({ now, unit, t }: View): Sentence {
  const top = now.cook?.targets.stone[1] ?? null;
  const { peak, overAt } = now.forecast ?? { peak: null, overAt: null };
  const beyond = peak && top !== null && peak.celsius > top ? peak.celsius - top : null;
  const by = beyond === null ? 'over the band' : `${formatDifference(beyond, unit)} over`;
  const when = overAt !== null && overAt > t ? ` in ${formatSpan(overAt - t)}` : ' soon';
  return say('urgent', 'close', 'overshoot ahead', 'Close the vents', by + when);
}

export function over(view: View, tone: Tone): Sentence {
  const top = view.now.cook?.targets.stone[1] ?? null;
  const celsius = view.stone?.celsius ?? null;
  const by =
    top !== null && celsius !== null
      ? `${formatDifference(Math.max(0, celsius - top), view.unit)} over: `
      : '';
  return sayStone(tone, 'close', 'over', view, `${by}close the vents`);
}
