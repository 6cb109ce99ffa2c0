import type { LiveChannel, Now } from '../../shared/live.ts';
import type { Unit } from '../../shared/units.ts';
import type { AlertName } from '../../shared/words.ts';
import { formatCountdown, formatDegrees, formatDifference, formatSpan } from '../lib/format.ts';
import { ranked, type Standing } from './alerts.ts';
import { nextLaunchAt, onStone, waiting, type OnStone } from './pizzas.ts';

/** What is so and what to do, as one sentence. Pure: the same document, unit and clock say the same. */

export type Tone = 'calm' | 'go' | 'act' | 'urgent' | 'lost';
export type Symbol = 'wait' | 'go' | 'turn' | 'off' | 'close' | 'open' | 'lid' | 'doubt' | 'lost' | 'rest';

export type Sentence = {
  /** The largest words: what is so, or the order where there is one. */
  head: string;
  /** The rest of the sentence. */
  rest: string;
  tone: Tone;
  symbol: Symbol;
  /** Changes when the sentence means something else, not when a number in it moves; speech hangs on it. */
  meaning: string;
};

/** `t`: seconds of the cook. `lost`: whole seconds without a word from the server, else null. */
export type Clock = { t: number; lost: number | null };

type View = { now: Now; unit: Unit; t: number; stone: LiveChannel | null; head: string };

const say = (tone: Tone, symbol: Symbol, meaning: string, head: string, rest: string): Sentence => ({
  head,
  rest,
  tone,
  symbol,
  meaning,
});

export const spoken = ({ head, rest }: Sentence): string => (rest ? `${head}, ${rest}` : head);

export const channelOf = (now: Now, role: 'stone' | 'dome'): LiveChannel | null =>
  now.channels.find((c) => c.role === role) ?? null;

export function sentence(now: Now | null, unit: Unit, { t, lost }: Clock): Sentence {
  if (lost !== null) return lostSentence(now, t, lost);
  if (!now) return say('calm', 'wait', 'looking', 'One moment', 'looking for the server');
  if (!now.cook) return say('calm', 'rest', 'no cook', 'No fire yet', 'start a cook, or watch a rehearsal');
  const stone = channelOf(now, 'stone');
  const view = { now, unit, t, stone, head: `Stone ${formatDegrees(stone?.celsius ?? null, unit)}` };
  return ordered(view) ?? baking(view) ?? blind(view) ?? byState(view);
}

/** Timers run on by the page's own clock, so what is due is still said. */
function lostSentence(now: Now | null, t: number, lost: number): Sentence {
  const first = now?.cook ? onStone(now, t)[0] : undefined;
  const rest = first ? dueWords(first) : 'go and look at the grill itself';
  return say('lost', 'lost', `lost ${first ? 'baking' : ''}`, `No word for ${formatSpan(lost)}`, rest);
}

// What an alert orders comes before what is merely so.

type Order = (view: View, alert: Standing) => Sentence;

const number = (alert: Standing, key: string): number | null => {
  const value = alert.why[key];
  return typeof value === 'number' ? value : null;
};

const pizzaName = ({ now }: View, { pizza }: Standing): string =>
  now.pizzas.find((p) => p.id === pizza)?.name || 'the pizza';

const ORDERS: Partial<Record<AlertName, Order>> = {
  'dome-too-hot': ({ now, unit }) =>
    say(
      'urgent',
      'close',
      'dome too hot',
      'Close the vents',
      `dome ${formatDegrees(channelOf(now, 'dome')?.celsius ?? null, unit)}, over its limit`,
    ),
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
    const when =
      at !== null && at > view.t
        ? `fading, below the band in ${formatSpan(at - view.t)}`
        : 'the fire is fading';
    return say('act', 'open', 'fire fading', 'Open the vents', when);
  },
};

function ordered(view: View): Sentence | null {
  for (const alert of ranked(view.now.alerts)) {
    const stands = alert.state === 'unacknowledged' || alert.state === 'acknowledged';
    const order = stands ? ORDERS[alert.alert] : undefined;
    if (order) return order(view, alert);
  }
  return null;
}

function overshootAhead({ now, unit, t }: View): Sentence {
  const top = now.cook?.targets.stone[1] ?? null;
  const { peak, overAt } = now.forecast ?? { peak: null, overAt: null };
  const by =
    peak && top !== null && peak.celsius > top
      ? `${formatDifference(peak.celsius - top, unit)} over`
      : 'over the band';
  const when = overAt !== null && overAt > t ? ` in ${formatSpan(overAt - t)}` : ' soon';
  return say('urgent', 'close', 'overshoot ahead', 'Close the vents', by + when);
}

function over({ now, unit, stone, head }: View, tone: Tone): Sentence {
  const top = now.cook?.targets.stone[1] ?? null;
  const by =
    top !== null && stone?.celsius != null
      ? `${formatDifference(Math.max(0, stone.celsius - top), unit)} over: `
      : '';
  return say(tone, 'close', 'over', head, `${by}close the vents and wait`);
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
  return say(
    due ? 'act' : 'calm',
    symbol,
    `baking ${first.name} ${symbol} ${due}`,
    view.head,
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
  cold: ({ head, stone }) =>
    (stone?.celsius ?? 0) < 60
      ? say('calm', 'wait', 'cold', head, 'light the fire')
      : say('calm', 'open', 'not rising', head, 'not rising: give it air'),
  climbing: (view) => say('calm', 'wait', 'climbing', view.head, untilReady(view, 'climbing')),
  soaking: (view) => say('calm', 'wait', 'soaking', view.head, untilReady(view, 'let the heat even out')),
  ready: (view) => say('go', 'go', 'ready', view.head, launchNow(view)),
  hot: (view) => over(view, 'act'),
  recovering: (view) =>
    say('calm', 'rest', 'recovering', view.head, untilReady(view, 'the stone is coming back')),
  falling: (view) => say('act', 'open', 'falling', view.head, 'falling: open the vents, add charcoal'),
};

function byState(view: View): Sentence {
  const { state } = view.now;
  // `baking` with nothing on the list of pizzas: noticed by the engine, tapped by nobody.
  if (state === 'baking' || state === 'blind')
    return say('calm', 'turn', 'baking unknown', view.head, 'a pizza is on the stone');
  return STATES[state](view);
}

function launchNow({ now }: View): string {
  const name = waiting(now)[0]?.name;
  return name ? `launch ${name} now` : 'launch now';
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

/** What stands in smaller type below: the range of the forecast and the peak. Empty where there is nothing to add. */
export function detail(now: Now, unit: Unit, t: number, write: (t: number) => string): string {
  const { forecast } = now;
  if (!forecast || now.state === 'blind') return '';
  const parts: string[] = [];
  const { readyBetween, readyAt, peak } = forecast;
  if (readyBetween && readyAt !== null && readyAt - t > 60)
    parts.push(`ready between ${write(readyBetween[0])} and ${write(readyBetween[1])}`);
  if (peak && peak.at - t > 60) parts.push(`peak ${formatDegrees(peak.celsius, unit)} at ${write(peak.at)}`);
  return parts.join(' · ');
}
