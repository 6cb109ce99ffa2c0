import type { RaisedAlert, Moment } from '../../../shared/alert/headline-parts.ts';
import { ALERT_KINDS, byUrgency, calling, type AlertName } from '../../../shared/alert/kinds.ts';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { Why } from '../../../shared/words.ts';
import { dueCount, formatAge, formatDegrees, formatDifference, formatSpan } from '../../lib/format.ts';
import type { Standing } from './calling-alerts.ts';
import { nameOf, onStone, waiting } from './pizza-countdowns.ts';
import {
  celsiusOf,
  channelOf,
  degreesOf,
  STANDARD_ERRORS_80,
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

const orderAlone = (view: View, alert: Standing): Sentence =>
  headlineFor(view, alert.alert, raisedOf(view, alert));

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

/** What the most urgent alert orders that stands, of those that were seen or of those that were not. */
export function ordered(view: View, state: 'unacknowledged' | 'acknowledged'): Sentence | null {
  const first = byUrgency(calling(view.now.alerts)).find(
    (a) =>
      a.state === state &&
      ALERT_KINDS[a.alert]?.look.isHeadline &&
      !(state === 'acknowledged' && isAnswered(view, a.alert, a.why)),
  );
  if (!first) return null;
  return (ALERT_KINDS[first.alert].look.restsOnStone ? lookFirst(view) : null) ?? orderAlone(view, first);
}
