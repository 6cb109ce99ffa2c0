import type { Now } from '../../shared/live.ts';
import type { Unit } from '../../shared/units.ts';
import { formatAge, formatCountdown, formatDegrees, formatSpan } from '../lib/format.ts';
import { launchNow, ordered, over } from './orders.ts';
import { nextLaunchAt, onStone, type OnStone } from './pizzas.ts';
import { channelOf, say, sayStone, viewOf, type Sentence, type View } from './say.ts';

/** What is so and what to do, as one sentence. Pure: the same document, unit and clock say the same. */

/** `t`: seconds of the cook. `lost`: whole seconds without a word from the server, else null. */
export type Clock = { t: number; lost: number | null };

export function sentence(now: Now | null, unit: Unit, { t, lost }: Clock): Sentence {
  if (lost !== null) return lostSentence(now, t, lost);
  if (!now) return say('calm', 'wait', 'looking', 'One moment', 'looking for the server');
  if (!now.cook) return say('calm', 'rest', 'no cook', 'No fire yet', 'start a cook, or watch a rehearsal');
  const view = viewOf(now, unit, t);
  // What was seen yields to what is due next; until then it goes before everything.
  return (
    ordered(view, 'unacknowledged') ??
    baking(view) ??
    blind(view) ??
    (now.state === 'ready' ? null : ordered(view, 'acknowledged')) ??
    byState(view)
  );
}

/** Timers run on by the page's own clock, so what is due is still said. */
function lostSentence(now: Now | null, t: number, lost: number): Sentence {
  const first = now?.cook ? onStone(now, t)[0] : undefined;
  const rest = first ? dueWords(first) : 'look at the grill itself';
  return say('lost', 'lost', `lost ${first ? 'baking' : ''}`, `No word for ${formatAge(lost)}`, rest);
}

// A pizza on the stone: what is due next, and when.

function dueWords({ name, turnIn, offIn }: OnStone): string {
  const [what, left] = turnIn === null ? (['off', offIn] as const) : (['turn', turnIn] as const);
  if (left <= 0) return what === 'turn' ? `turn ${name} now` : `take ${name} off now`;
  return what === 'turn'
    ? `turn ${name} in ${formatCountdown(left)}`
    : `${name} off in ${formatCountdown(left)}`;
}

function baking(view: View): Sentence | null {
  const first = onStone(view.now, view.t)[0];
  if (!first) return null;
  const due = (first.turnIn ?? first.offIn) <= 0;
  const symbol = first.turnIn === null ? 'off' : 'turn';
  return sayStone(
    due ? 'act' : 'calm',
    symbol,
    `baking ${first.name} ${symbol} ${due}`,
    view,
    dueWords(first),
  );
}

// No number that can be trusted.

function blind({ now, stone, unit }: View): Sentence | null {
  if (now.state !== 'blind') return null;
  if (!stone || stone.age === null)
    return say('calm', 'doubt', 'nothing heard', 'No reading yet', 'connect a probe, or type a spot reading');
  const dome = channelOf(now, 'dome');
  const other =
    dome && !dome.stale && dome.celsius !== null ? `; dome ${formatDegrees(dome.celsius, unit)}` : '';
  return say('urgent', 'doubt', 'blind', 'Stone not known', `${stone.reason ?? 'check its probe'}${other}`);
}

// The stone state by itself.

const STATES: Record<Exclude<Now['state'], 'blind' | 'baking'>, (view: View) => Sentence> = {
  cold: (view) =>
    (view.stone?.celsius ?? 0) < 60
      ? sayStone('calm', 'wait', 'cold', view, 'light the fire')
      : sayStone('calm', 'open', 'not rising', view, 'not rising: give it air'),
  climbing: (view) => sayStone('calm', 'wait', 'climbing', view, untilReady(view, 'climbing')),
  soaking: (view) => sayStone('calm', 'wait', 'soaking', view, untilReady(view, 'let the heat even out')),
  ready: (view) => sayStone('go', 'go', 'ready', view, launchNow(view)),
  hot: (view) => over(view, 'act'),
  recovering: (view) =>
    sayStone('calm', 'rest', 'recovering', view, untilReady(view, 'the stone is coming back')),
  falling: (view) => sayStone('act', 'open', 'falling', view, 'falling: open the vents, add charcoal'),
};

function byState(view: View): Sentence {
  const { state } = view.now;
  // `baking` with nothing on the list of pizzas: noticed by the engine, tapped by nobody.
  if (state === 'baking' || state === 'blind')
    return sayStone('calm', 'turn', 'baking unknown', view, 'a pizza is on the stone');
  return STATES[state](view);
}

function untilReady(view: View, otherwise: string): string {
  const at = nextLaunchAt(view.now, view.t);
  if (at === null) return otherwise;
  const left = at - view.t;
  if (left < 20) return 'launch in a moment';
  return view.now.state === 'recovering'
    ? `next launch in ${formatSpan(left)}`
    : `${formatSpan(left)} to launch`;
}

/**
 * What stands in smaller type below: of a pizza on the stone when to look and why then; else the range of the forecast
 * and the peak. Empty where there is nothing to add.
 */
export function detail(now: Now, unit: Unit, t: number, write: (t: number) => string): string {
  const lying = onStone(now, t)[0];
  const guide = now.guides.find(({ pizza }) => pizza === lying?.id);
  if (guide) return guideWords(guide, t);
  const { forecast } = now;
  if (!forecast || now.state === 'blind') return '';
  const parts: string[] = [];
  const { readyBetween, readyAt, peak } = forecast;
  if (readyBetween && readyAt !== null && readyAt - t > 60)
    parts.push(`ready between ${write(readyBetween[0])} and ${write(readyBetween[1])}`);
  if (peak && peak.at - t > 60) parts.push(`peak ${formatDegrees(peak.celsius, unit)} at ${write(peak.at)}`);
  return parts.join(' · ');
}

function guideWords({ say, lookAt, byHand, lesson }: Now['guides'][number], t: number): string {
  const why = byHand ? 'Times set by hand.' : lesson;
  if (say === 'look') return `Look now. ${why}`;
  return lookAt === null || lookAt <= t ? why : `Look in ${formatSpan(lookAt - t)}. ${why}`;
}
