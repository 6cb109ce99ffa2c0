import type { Now } from '../../shared/live.ts';
import type { AlertName } from '../../shared/words.ts';

export type Standing = Now['alerts'][number];

/** Which of the standing alerts call on the person, and how. Pure. */

const URGENCY = { urgent: 0, act: 1, prompt: 2 } as const;
/** Where two are equally urgent: what spoils or endangers soonest. */
const ORDER: readonly AlertName[] = [
  'dome-too-hot',
  'off-due',
  'turn-due',
  'lid-left-open',
  'probe-lost',
  'overshot',
  'overshoot-ahead',
  'fire-fading',
  'stone-ready',
  'probe-doubtful',
];

export const ranked = (alerts: readonly Standing[]): Standing[] =>
  [...alerts].sort(
    (a, b) => URGENCY[a.urgency] - URGENCY[b.urgency] || ORDER.indexOf(a.alert) - ORDER.indexOf(b.alert),
  );

/** What the whole evening waits for is worth the whole screen, prompt or not. */
const fillsScreen = ({ urgency, alert }: Standing): boolean =>
  urgency !== 'prompt' || alert === 'stone-ready';

/** The alert that takes the whole screen, if any: nobody has seen it and it asks for something to be done. */
export const noticed = (alerts: readonly Standing[]): Standing | null =>
  ranked(alerts).find((a) => a.state === 'unacknowledged' && fillsScreen(a)) ?? null;

/** Those that are shown in the strip: unseen prompts, what is over and unseen, what was seen and asks for something still. */
export function inStrip(alerts: readonly Standing[]): Standing[] {
  const whole = noticed(alerts);
  return ranked(alerts).filter((a) => a !== whole && !(a.urgency === 'prompt' && a.state === 'acknowledged'));
}

/** Names one call on the person: raised anew, it is another one. */
export const callOf = ({ alert, pizza, raisedAt }: Standing): string => `${alert} ${pizza ?? ''} ${raisedAt}`;

/** How long until an unseen alert sounds again on this page, ms. A prompt sounds once. */
const AGAIN_AFTER = { urgent: 5000, act: 20_000, prompt: Infinity } as const;

/**
 * The alerts that should sound at this moment.
 * @param sounded when each call last sounded, ms on the page's clock
 */
export const toSound = (
  alerts: readonly Standing[],
  sounded: ReadonlyMap<string, number>,
  ms: number,
): Standing[] =>
  ranked(alerts).filter((a) => {
    if (a.state !== 'unacknowledged') return false;
    const before = sounded.get(callOf(a));
    return before === undefined || ms - before >= AGAIN_AFTER[a.urgency];
  });
