import { byUrgency, uncovered } from '../../../shared/alert/kinds.ts';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { AlertName } from '../../../shared/words.ts';
import { formatAge, formatDegrees, formatDifference, formatSpan } from '../../lib/format.ts';
import type { Standing } from './alerts.ts';
import { onStone, waiting } from './pizzas.ts';
import {
  celsiusOf,
  channelOf,
  degreesOf,
  dueCount,
  EIGHTY,
  headlineOf,
  withLidFirst,
  type Sentence,
  type Tone,
  type View,
} from './headline-sentence.ts';
import { isWatched } from './vent-answer.ts';

/** What each alert orders, in the person's own unit: the server's message has its numbers in °C. Pure. */

type HeadlineOf = (view: View, alert: Standing) => Sentence;

const number = (alert: Standing, key: string): number | null => {
  const value = alert.why[key];
  return typeof value === 'number' ? value : null;
};

const written = ({ unit }: View, { message }: Standing): string => textInUnit(message, unit);

/** The pizza that an alert is of, and how long ago it was due. */
function dueOf({ now, t }: View, { pizza, raisedAt }: Standing, does: 'turn' | 'off') {
  const lying = onStone(now, t).find(({ id }) => id === pizza);
  const left = does === 'turn' ? lying?.turnIn : lying?.offIn;
  const name = now.pizzas.find((p) => p.id === pizza)?.name || 'the pizza';
  return { name, count: dueCount(Math.min(0, left ?? raisedAt - t)) };
}

const doubt = (head: string, tone: Tone, rest: string): Sentence => headlineOf(tone, 'doubt', { head, rest });

const ORDERS: Record<AlertName, HeadlineOf> = {
  'stone-ready': launchNow,
  'dome-too-hot': ({ now, unit }) => {
    const dome = formatDegrees(channelOf(now, 'dome')?.celsius ?? null, unit);
    return headlineOf('urgent', 'close', { head: 'Close the vents', rest: `dome ${dome}, over its limit` });
  },
  'off-due': (view, alert) => {
    const { name, count } = dueOf(view, alert, 'off');
    return headlineOf('urgent', 'off', { head: `Take ${name} off`, count });
  },
  'turn-due': (view, alert) => {
    const { name, count } = dueOf(view, alert, 'turn');
    return headlineOf('act', 'turn', { head: `Turn ${name}`, count });
  },
  'lid-left-open': () => headlineOf('act', 'lid', { head: 'Close the lid', rest: 'the heat is getting out' }),
  overshot: (view) => over(view),
  'overshoot-ahead': overshootAhead,
  'fire-fading': (view, alert) => {
    const at = view.now.forecast?.fadesAt ?? number(alert, 'fadesAt');
    const rest =
      at !== null && at > view.t
        ? `the fire fades: below the band in ${formatSpan(at - view.t)}`
        : 'the fire is fading';
    return headlineOf('act', 'open', { head: 'Open the vents', rest, meaning: 'fire fading' });
  },
  'probe-lost': (view, alert) => doubt('Check the probe', 'urgent', written(view, alert)),
  'look-due': lookAtStone,
  'probe-doubtful': (view, alert) => doubt('Check the probe', 'act', written(view, alert)),
};

export const orderOf = (view: View, alert: Standing): Sentence =>
  withLidFirst(view, ORDERS[alert.alert](view, alert));

/** Why a look decides something, as far as that is still so. */
function lookAtStone(view: View, alert: Standing): Sentence {
  const { t, unit } = view;
  const [read, off] = [number(alert, 'read'), number(alert, 'off')];
  if (read !== null && off !== null) {
    const side = alert.why['side'] === 'below' ? 'below' : 'above';
    const rest = `${formatDegrees(read, unit)} is ${formatDifference(off, unit)} ${side} what it should be: flour, oil or the peel?`;
    return doubt('Look again', 'act', rest);
  }
  for (const [key, words] of [
    ['overInMinutes', 'it may pass the band'],
    ['readyInMinutes', 'ready'],
  ] as const) {
    const minutes = number(alert, key);
    const left = minutes === null ? 0 : 60 * minutes - (t - alert.raisedAt);
    if (left > 0) return doubt('Look at the stone', 'act', `${words} in about ${formatSpan(left)}`);
  }
  return lookNow(view);
}

/** What the stone is thought to be, and since when nobody knows. */
export function lookNow({ stone, unit }: View): Sentence {
  const age = stone?.age ?? null;
  const looked = age === null ? '' : `, looked at ${formatAge(age)} ago`;
  return doubt('Look at the stone', 'act', degreesOf(stone, unit) + looked);
}

/** An estimate that is within so many °C, eight times of ten, is good enough to act on. */
const GOOD_ENOUGH = 15;
/** A look is asked for again only after so long, s. */
const LOOKED = 180;

/** Where the stone is only estimated, and too roughly for vents or a launch to be right: look first. */
export function lookFirst(view: View): Sentence | null {
  const { stone } = view;
  if (!stone?.isEstimate || stone.error === null || EIGHTY * stone.error < GOOD_ENOUGH) return null;
  const isNear =
    stone.band !== null && stone.estimate !== null && stone.estimate > stone.band[0] - NEAR_CELSIUS;
  return isNear && (stone.age === null || stone.age > LOOKED) ? lookNow(view) : null;
}
/** Further below its band than this, °C, the stone has a while to go. */
const NEAR_CELSIUS = 30;

/** These change the headline; for the others the state covers it. */
const SAID: readonly AlertName[] = [
  'dome-too-hot',
  'off-due',
  'turn-due',
  'lid-left-open',
  'overshot',
  'overshoot-ahead',
  'fire-fading',
];

/** These are right only if the stone is what it is thought to be. */
const RESTS_ON_STONE: readonly AlertName[] = ['overshot', 'overshoot-ahead', 'fire-fading'];

const ASK_FOR_VENTS: Partial<Record<AlertName, 'close' | 'open'>> = {
  'dome-too-hot': 'close',
  overshot: 'close',
  'overshoot-ahead': 'close',
  'fire-fading': 'open',
};

/** It was seen, and what was done since leads elsewhere: the alert stands until that is sure, its order does not. */
function isAnswered(view: View, { alert, state }: Standing): boolean {
  if (state !== 'acknowledged') return false;
  const vents = ASK_FOR_VENTS[alert];
  if (vents && isWatched(view, vents)) return true;
  return alert === 'overshoot-ahead' && view.now.forecast?.overAt === null;
}

/** What the most urgent alert orders that stands, of those that were seen or of those that were not. */
export function ordered(view: View, state: 'unacknowledged' | 'acknowledged'): Sentence | null {
  const first = byUrgency(uncovered(view.now.alerts)).find(
    (a) => a.state === state && SAID.includes(a.alert) && !isAnswered(view, a),
  );
  if (!first) return null;
  return (RESTS_ON_STONE.includes(first.alert) ? lookFirst(view) : null) ?? ORDERS[first.alert](view, first);
}

/** Longer ago than this, s, a look does not settle whether the stone is ready. */
const SETTLED_SECONDS = 90;

/** Whether the stone is ready by an estimate alone, which one look is to confirm. */
export const isLikely = ({ stone }: View): boolean =>
  stone?.isEstimate === true && (stone.age === null || stone.age > SETTLED_SECONDS);

export function launchNow(view: View): Sentence {
  const next = waiting(view.now)[0];
  const head = next?.name ? `Launch ${next.name}` : 'Launch';
  if (isLikely(view))
    return headlineOf('go', 'go', {
      head: `Look, then l${head.slice(1)}`,
      rest: `likely ready: ${degreesOf(view.stone, view.unit)}`,
      meaning: 'likely ready',
    });
  return headlineOf('go', 'go', { head, count: 'now', rest: 'the stone is ready', meaning: 'ready' });
}

/** Shutting the vents is worth a word where it takes off so much, °C. */
const WORTH = 3;

function overshootAhead({ now, unit, t }: View): Sentence {
  const top = now.cook?.targets.stone[1] ?? null;
  const { peak, overAt } = now.forecast ?? { peak: null, overAt: null };
  const beyond = peak && top !== null && peak.celsius > top ? peak.celsius - top : null;
  const left = overAt !== null && overAt > t ? formatSpan(overAt - t) : null;
  const soon =
    left === null ? 'soon over the band' : beyond === null ? `over the band in ${left}` : `in ${left}`;
  const shut = now.whatIf?.shut.highest.celsius ?? Infinity;
  const helps = peak !== null && shut < peak.celsius - WORTH;
  return headlineOf('act', 'close', {
    head: 'Close the vents',
    count: beyond === null ? '' : `${formatDifference(beyond, unit)} over`,
    rest: helps ? `${soon}; shut now it peaks at ${formatDegrees(shut, unit)}` : soon,
    meaning: 'overshoot ahead',
  });
}

export function over(view: View): Sentence {
  const top = view.now.cook?.targets.stone[1] ?? null;
  const celsius = view.stone && celsiusOf(view.stone);
  const by = top !== null && celsius !== null ? Math.max(0, celsius - top) : null;
  return headlineOf('act', 'close', {
    head: 'Close the vents',
    count: by === null ? '' : `${formatDifference(by, view.unit)} over`,
    rest: 'the stone is above its band',
    meaning: 'over',
  });
}
