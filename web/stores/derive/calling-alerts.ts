import type { Now } from '../../../shared/api/live.ts';
import { ALERT_KINDS, byUrgency, calling, type AlertName } from '../../../shared/alert/kinds.ts';

export type Standing = Now['alerts'][number];

/** Which of the standing alerts call on the person, and how. Pure. */

const fillsScreen = ({ urgency, alert }: Standing): boolean =>
  urgency !== 'prompt' || ALERT_KINDS[alert]?.look.fillsScreen === true;

/** The alert that takes the whole screen, if any: nobody has seen it and it asks for something to be done. */
export const noticed = (alerts: readonly Standing[]): Standing | null =>
  byUrgency(calling(alerts)).find((a) => a.state === 'unacknowledged' && fillsScreen(a)) ?? null;

/** The most urgent that nobody has seen and that has an order for the headline: it says what fills the screen. */
export const ordering = (alerts: readonly Standing[]): Standing | null =>
  byUrgency(calling(alerts)).find(({ state, alert }) => {
    const look = ALERT_KINDS[alert]?.look;
    return state === 'unacknowledged' && (look?.isHeadline ?? look?.fillsScreen) === true;
  }) ?? null;

/** A look that is due no more, since one was entered or the moment went by, asks for nothing. */
const isOverAndDone = ({ state, alert }: Standing): boolean =>
  state === 'returned' && ALERT_KINDS[alert]?.look.asksForReading === true;

/** Those that are shown in the strip: unseen prompts, what is over and unseen, what was seen and asks for something still. */
export function chipAlerts(alerts: readonly Standing[]): Standing[] {
  const whole = noticed(alerts);
  return byUrgency(alerts).filter(
    (a) => a !== whole && !isOverAndDone(a) && !(a.urgency === 'prompt' && a.state === 'acknowledged'),
  );
}

/** What is answered with an alert that a person says to have done: itself, and what asks the same of the vents. */
export const answeredWith = (alerts: readonly Standing[], done: AlertName): AlertName[] => {
  const { vents } = ALERT_KINDS[done];
  const same = calling(alerts).filter((a) => vents !== undefined && ALERT_KINDS[a.alert]?.vents === vents);
  return [...new Set([done, ...same.map(({ alert }) => alert)])];
};

/** Whether something is to be done now: a question that can wait must not lie over it. */
export const isPressing = (alerts: readonly Standing[]): boolean =>
  noticed(alerts) !== null ||
  alerts.some(({ alert, state }) => state === 'acknowledged' && ALERT_KINDS[alert]?.look.wantsHands);

/** Names one call on the person: raised anew, it is another one. */
export const callOf = ({ alert, pizza, raisedAt }: Standing): string => `${alert} ${pizza ?? ''} ${raisedAt}`;

/** How long until an unseen alert sounds again on this page, ms. A prompt sounds once. */
const REPEAT_AFTER_MS = { urgent: 5000, act: 20_000, prompt: Infinity } as const;

/**
 * The alerts that should sound at this moment.
 * @param sounded when each call last sounded, ms on the page's clock
 */
export const toSound = (
  alerts: readonly Standing[],
  sounded: ReadonlyMap<string, number>,
  ms: number,
): Standing[] =>
  byUrgency(calling(alerts)).filter((a) => {
    if (a.state !== 'unacknowledged') return false;
    const before = sounded.get(callOf(a));
    return before === undefined || ms - before >= REPEAT_AFTER_MS[a.urgency];
  });
