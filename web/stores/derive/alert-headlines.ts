import {
  isLikely,
  OVER_SOON_SECONDS,
  type RaisedAlert,
  type Moment,
} from '../../../shared/alert/headline-parts.ts';
import { ALERT_KINDS, byUrgency, calling, type AlertName } from '../../../shared/alert/kinds.ts';
import { STANDARD_ERRORS_80 } from '../../../shared/statistics/normal.ts';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { Why } from '../../../shared/words.ts';
import { dueCount, formatAge, formatDegrees, formatDifference, formatSpan } from '../../lib/format.ts';
import { ordering, type Standing } from './calling-alerts.ts';
import { nameOf, onStone, waiting } from './pizza-countdowns.ts';
import {
  celsiusOf,
  channelOf,
  degreesOf,
  headlineOf,
  withLidFirst,
  type Sentence,
  type View,
} from './headline-sentence.ts';
import { isWatched } from './vent-answer.ts';

/** What each alert orders, in the person's own unit: the server's message has its numbers in °C. Pure. */

function momentOf({ now, unit, t, stone }: View): Moment {
  const { forecast } = now;
  return {
    t,
    stone: stone && { celsius: celsiusOf(stone), isEstimate: stone.isEstimate, age: stone.age },
    stoneDegrees: degreesOf(stone, unit),
    dome: channelOf(now, 'dome')?.celsius ?? null,
    top: now.cook?.targets.stone[1] ?? null,
    forecast: forecast && { ...forecast, peak: forecast.peak?.celsius ?? null },
    shutNow: now.whatIf?.shut.highest.celsius ?? null,
    next: waiting(now)[0]?.name ?? '',
    write: {
      degrees: (celsius) => formatDegrees(celsius, unit),
      difference: (celsius) => formatDifference(celsius, unit),
      span: formatSpan,
      age: formatAge,
      due: dueCount,
    },
  };
}

function raisedOf({ now, unit, t }: View, { why, raisedAt, message, pizza }: Standing): RaisedAlert<Why> {
  const lying = onStone(now, t).find(({ id }) => id === pizza);
  return {
    why,
    raisedAt,
    message: textInUnit(message, unit),
    pizza: {
      name: nameOf(now.pizzas.find(({ id }) => id === pizza)),
      turnIn: lying?.turnIn ?? null,
      offIn: lying?.offIn ?? null,
    },
  };
}

/** What the page says without an alert, as where the state of the stone calls for the same. */
const NO_ALERT: RaisedAlert<Why> = {
  why: {},
  raisedAt: 0,
  message: '',
  pizza: { name: '', turnIn: null, offIn: null },
};

export function headlineFor(view: View, name: AlertName, raised = NO_ALERT): Sentence {
  const { look, headline } = ALERT_KINDS[name];
  return headlineOf(look.tone, look.symbol, headline(momentOf(view), raised));
}

/** Seconds until the stone passes the top of its band; infinite where it does not. */
const overIn = ({ now, t }: View): number => (now.forecast?.overAt ?? Infinity) - t;

/** Whether a pizza waits for a stone that is known to lie in its band now, and not for long. */
function isLastChance(view: View): boolean {
  const { now, stone } = view;
  const celsius = stone && celsiusOf(stone);
  if (celsius === null || !stone?.band || isLikely(stone) || waiting(now).length === 0) return false;
  const isInside = celsius >= stone.band[0] && celsius <= stone.band[1];
  return isInside && overIn(view) > 0 && overIn(view) <= OVER_SOON_SECONDS;
}

/** The call of such a stone, where no alert calls. */
export const lastChance = (view: View): Sentence | null =>
  isLastChance(view) && (view.now.nextLaunchAt ?? Infinity) <= view.t
    ? headlineFor(view, 'stone-ready')
    : null;

/**
 * What an alert comes to by what is known now, on every part of the page alike: vents are not moved for a stone that a look
 * should find first, and a pizza that still can goes onto a stone before it is too hot.
 */
export function comesTo(view: View, { alert }: Standing): { name: AlertName; raised: Standing | null } {
  const { look, vents } = ALERT_KINDS[alert];
  if (!look.restsOnStone) return { name: alert, raised: null };
  const asked = view.now.alerts.find((a) => a.alert === 'look-due' && a.state === 'unacknowledged');
  if (asked && overIn(view) > OVER_SOON_SECONDS) return { name: 'look-due', raised: asked };
  if (lookFirst(view)) return { name: 'look-due', raised: null };
  return { name: vents === 'close' && isLastChance(view) ? 'stone-ready' : alert, raised: null };
}

function orderAlone(view: View, alert: Standing): Sentence {
  const { name, raised } = comesTo(view, alert);
  if (name === alert.alert) return headlineFor(view, name, raisedOf(view, alert));
  return headlineFor(view, name, raised ? raisedOf(view, raised) : NO_ALERT);
}

export const orderOf = (view: View, alert: Standing): Sentence =>
  withLidFirst(view.now, orderAlone(view, alert));

/** An estimate that is within so many °C, eight times of ten, is good enough to act on. */
const GOOD_ENOUGH_CELSIUS = 15;
/** A look is asked for again only after so long, s. */
const LOOKED_WITHIN_SECONDS = 180;
/** Further below its band than this, °C, the stone has a while to go. */
const NEAR_CELSIUS = 30;

/** Where the stone is only estimated, and too roughly for vents or a launch to be right: look first. */
export function lookFirst(view: View): Sentence | null {
  const { stone } = view;
  if (!stone?.isEstimate || stone.error === null || STANDARD_ERRORS_80 * stone.error < GOOD_ENOUGH_CELSIUS)
    return null;
  const isNear =
    stone.band !== null && stone.estimate !== null && stone.estimate > stone.band[0] - NEAR_CELSIUS;
  return isNear && (stone.age === null || stone.age > LOOKED_WITHIN_SECONDS)
    ? headlineFor(view, 'look-due')
    : null;
}

/** What was done leads elsewhere: the alert stands until that is sure, its order does not. */
export function isAnswered(view: View, name: AlertName, why: Why = {}): boolean {
  const { vents, isSettled } = ALERT_KINDS[name];
  return (vents && isWatched(view, vents)) || isSettled?.(momentOf(view), why) === true;
}

/** What the alert orders that fills the screen: the headline behind it says the same. */
export function called(view: View): Sentence | null {
  const alert = ordering(view.now.alerts);
  return alert && orderAlone(view, alert);
}

/** What the most urgent alert orders that was seen and still stands. */
export function ordered(view: View): Sentence | null {
  const first = byUrgency(calling(view.now.alerts)).find(
    (a) =>
      a.state === 'acknowledged' &&
      ALERT_KINDS[a.alert]?.look.isHeadline &&
      !isAnswered(view, a.alert, a.why),
  );
  return first ? orderAlone(view, first) : null;
}
