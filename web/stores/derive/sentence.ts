import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { Unit } from '../../../shared/units.ts';
import { dueCount, formatAge, formatDegrees, formatSpan } from '../../lib/format.ts';
import { called, headlineFor, isAnswered, lastChance, lookFirst, ordered } from './alert-headlines.ts';
import { isRunOver, nextLaunchAt, onStone, waiting, type OnStone } from './pizza-countdowns.ts';
import {
  celsiusOf,
  channelOf,
  degreesOf,
  headlineOf,
  viewOf,
  withLidFirst,
  type Sentence,
  type View,
} from './headline-sentence.ts';
import { isWatched } from './vent-answer.ts';

/** What to do and when, as one sentence. Pure: the same document, unit and clock say the same. */

/** `t`: seconds of the cook. `lost`: whole seconds without a word from the server, else null. */
export type Clock = { t: number; lost: number | null };

export function sentence(now: Now | null, unit: Unit, { t, lost }: Clock): Sentence {
  if (lost !== null) return withLidFirst(now, lostSentence(now, t, lost));
  if (!now) return headlineOf('calm', 'wait', { head: 'One moment', rest: 'looking for the server' });
  if (!now.cook)
    return headlineOf('calm', 'rest', { head: 'No fire yet', rest: 'start a cook, or watch a rehearsal' });
  if (now.rehearsal?.ended)
    return headlineOf('calm', 'rest', {
      head: 'The recording is over',
      rest: 'play it again, or start a real cook',
    });
  const view = viewOf(now, unit, t);
  // What was seen yields to what is due next; until then it goes before everything.
  const base =
    called(view) ??
    baking(view) ??
    ended(view) ??
    blind(view) ??
    (now.state === 'ready' ? null : ordered(view)) ??
    lookFirst(view) ??
    lastChance(view) ??
    unsure(view) ??
    byState(view);
  return withLidFirst(now, base);
}

/** Timers run on by the page's own clock, so what is due is still shown. */
function lostSentence(now: Now | null, t: number, lost: number): Sentence {
  const first = now?.cook ? onStone(now, t)[0] : undefined;
  if (!first)
    return headlineOf('lost', 'lost', {
      head: 'No word',
      count: `for ${formatAge(lost)}`,
      rest: 'look at the grill itself',
    });
  return headlineOf('lost', 'lost', {
    head: dueHead(first),
    count: dueCount(first.turnIn ?? first.offIn),
    rest: `no word from the server for ${formatAge(lost)}: look at the grill itself`,
    meaning: 'lost baking',
  });
}

// A pizza on the stone: what is due next, and when.

const dueHead = ({ name, turnIn }: OnStone): string =>
  turnIn === null ? `Take ${name} off` : `Turn ${name}`;

function baking(view: View): Sentence | null {
  const first = onStone(view.now, view.t)[0];
  if (!first) return null;
  const left = first.turnIn ?? first.offIn;
  const symbol = first.turnIn === null ? 'off' : 'turn';
  return headlineOf(left <= 0 ? 'act' : 'calm', symbol, {
    head: dueHead(first),
    count: dueCount(left),
    rest:
      first.turnIn === null ? '' : first.offIn > 0 ? `then off in ${dueCount(first.offIn)}` : 'and off now',
    meaning: `baking ${first.name} ${symbol} ${left <= 0}`,
  });
}

// The last pizza is off.

const ended = ({ now }: View): Sentence | null =>
  isRunOver(now)
    ? headlineOf('calm', 'rest', {
        head: 'All baked',
        rest: now.isOver
          ? 'both vents shut, lid down: end the evening'
          : 'shut both vents and end the evening, or add a pizza',
      })
    : null;

// No number that can be trusted.

/** The dome as it is read now, °C. */
function domeOf(now: Now): number | null {
  const dome = channelOf(now, 'dome');
  return dome && !dome.stale ? dome.celsius : null;
}

/** A fire takes a cold stone out of what was seen of it in so long, s. */
const UNSEEN_SECONDS = 600;

/** A look at a cold stone says nothing any more once the dome is warm, or where nobody reads one, the fire has burnt for long. */
const isLongUnseen = ({ now, t, stone }: View): boolean =>
  domeOf(now) === null &&
  (stone?.age ?? 0) > UNSEEN_SECONDS &&
  now.events.some((at) => isLighting(at) && t - at.t > UNSEEN_SECONDS);

const isLighting = ({ event, undone }: Now['events'][number]): boolean => event === 'fire-lit' && !undone;

/** From two looks nearer to each other than this, s, no rate of a stone can be told: each is right to a degree or two. */
const NEXT_LOOK_SECONDS = 120;

/** Looked at just now and its course is not known yet: when the next look is worth a lid, and what for. @param age of the last, s */
const lookAgain = ({ stone, unit }: View, age: number): Sentence =>
  headlineOf('calm', 'wait', {
    head: 'Look again',
    count: `in ${formatSpan(NEXT_LOOK_SECONDS - age)}`,
    rest: `${degreesOf(stone, unit)} now: two or three looks show how fast it climbs`,
    meaning: 'look again',
  });

function blind(view: View): Sentence | null {
  const { now, stone, unit } = view;
  if (now.state !== 'blind') return null;
  const domeNow = domeOf(now);
  if (!stone || stone.age === null) {
    if (domeNow === null)
      return headlineOf('calm', 'doubt', {
        head: 'No reading yet',
        rest: 'connect a probe, or type what you read',
      });
    if (domeNow < COLD_BELOW_CELSIUS) return cold(view);
    return headlineOf('calm', 'doubt', {
      head: 'Stone not known',
      rest: `dome ${formatDegrees(domeNow, unit)}: look at the stone`,
    });
  }
  if (stone.source === 'spot') {
    if (
      (celsiusOf(stone) ?? 0) < COLD_BELOW_CELSIUS &&
      (domeNow ?? 0) < COLD_BELOW_CELSIUS &&
      !isLongUnseen(view)
    )
      return cold(view);
    return stone.age < NEXT_LOOK_SECONDS ? lookAgain(view, stone.age) : headlineFor(view, 'look-due');
  }
  const other = domeNow === null ? '' : `; dome ${formatDegrees(domeNow, unit)}`;
  const why = stone.reason === undefined ? 'check its probe' : textInUnit(stone.reason, unit);
  return headlineOf('urgent', 'doubt', { head: 'Stone not known', rest: `${why}${other}` });
}

/** The stone may be ready at once or not for long, which only a look can tell: the server names no launch then. */
function unsure(view: View): Sentence | null {
  const { now, stone } = view;
  const isNamed = now.nextLaunchAt !== null || (now.forecast?.readyAt ?? null) === null;
  if (isNamed || !stone?.isEstimate || now.state === 'hot') return null;
  return stone.age !== null && stone.age < NEXT_LOOK_SECONDS
    ? lookAgain(view, stone.age)
    : headlineFor(view, 'look-due');
}

// The stone state by itself.

/** Below this a stone has not begun, °C. */
const COLD_BELOW_CELSIUS = 60;

const STATES: Record<Exclude<Now['state'], 'blind' | 'baking'>, (view: View) => Sentence> = {
  cold,
  climbing: (view) => untilReady(view, 'Wait', 'the stone climbs'),
  soaking: (view) => untilReady(view, 'Wait', 'let the heat even out'),
  ready: (view) => headlineFor(view, 'stone-ready'),
  hot: (view) => (isAnswered(view, 'overshot') ? cooling(view) : headlineFor(view, 'overshot')),
  recovering: (view) => (fallsAhead(view) ? airless() : untilReady(view, 'Wait', recoveringWords(view))),
  falling: (view) =>
    isWatched(view, 'open')
      ? headlineOf('calm', 'wait', { head: 'Wait', rest: 'the fire has air: the stone comes after it' })
      : headlineOf('act', 'open', { head: 'Open the vents', rest: 'the stone is falling: add charcoal' }),
};

/** Its arrow may still point down: then the pizza that took its heat is why. */
const recoveringWords = ({ stone }: View): string =>
  (stone?.perMinute ?? 0) < -RISES ? 'a pizza has cooled the stone' : 'the stone is coming back';

/** At this fire a stone that is below its band only loses heat. */
function fallsAhead({ now: { forecast }, stone }: View): boolean {
  const celsius = stone && celsiusOf(stone);
  const last = forecast?.curves.stone.at(-1);
  return forecast?.readyAt === null && last !== undefined && celsius !== null && last.celsius < celsius;
}
const airless = (): Sentence =>
  headlineOf('calm', 'open', { head: 'Give it air', rest: 'the stone does not rise' });

/** Whether the fire burns: somebody said so, or the dome is warm. */
function isLit({ now }: View): boolean {
  return (domeOf(now) ?? 0) >= COLD_BELOW_CELSIUS || now.events.some(isLighting);
}

function cold(view: View): Sentence {
  const { stone } = view;
  if (((stone && celsiusOf(stone)) ?? 0) >= COLD_BELOW_CELSIUS) return airless();
  return isLit(view)
    ? headlineOf('calm', 'wait', { head: 'Wait', rest: 'the fire is lit: the stone has yet to rise' })
    : headlineOf('calm', 'light', { head: 'Light the fire', rest: 'then say so here' });
}

/** A launch farther off than this, s, is not said of a stone that cools: near the end of a forecast it comes and goes. */
const COOLING_AHEAD_SECONDS = 1500;

/** A stone that rises faster than this, °C/min, does not cool yet; as its arrow has it. */
const RISES = 0.75;

function cooling(view: View): Sentence {
  const { count } = headlineFor(view, 'overshot');
  if ((view.stone?.perMinute ?? 0) > RISES)
    return headlineOf('calm', 'wait', { head: 'Wait', count, rest: 'the stone climbs: leave the vents' });
  const at = nextLaunchAt(view.now, view.t);
  const left = at === null ? 0 : at - view.t;
  const isSaid = left >= 60 && left <= COOLING_AHEAD_SECONDS;
  const rest = isSaid ? `it cools: launch in ${formatSpan(left)}` : 'it cools: leave the vents';
  return headlineOf('calm', 'wait', { head: 'Wait', count, rest, meaning: 'cooling' });
}

function byState(view: View): Sentence {
  const { state } = view.now;
  // `baking` with nothing on the list of pizzas: noticed by the engine, tapped by nobody.
  if (state === 'baking' || state === 'blind')
    return headlineOf('calm', 'turn', { head: 'Baking', rest: 'a pizza is on the stone: nobody said which' });
  return STATES[state](view);
}

/** @param otherwise the text where there is no forecast */
function untilReady(view: View, otherwise: string, rest: string): Sentence {
  const { now, t } = view;
  const at = nextLaunchAt(now, t);
  const meaning = `${now.state} ${at === null}`;
  if (at === null) return headlineOf('calm', 'wait', { head: otherwise, rest, meaning });
  const left = at - t;
  const count = left < 20 ? 'in a moment' : `in ${formatSpan(left)}`;
  const name = waiting(now)[0]?.name;
  return headlineOf('calm', 'wait', { head: name ? `Launch ${name}` : 'Launch', count, rest, meaning });
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
  if (peak && peak.at - t > 60)
    parts.push(`stone to peak at ${formatDegrees(peak.celsius, unit)} at ${write(peak.at)}`);
  return parts.join(' · ');
}

function guideWords(
  { action, lookAt, byHand, lesson, why: change }: Now['guides'][number],
  t: number,
): string {
  const why = byHand ? 'Times set by hand.' : (change ?? lesson);
  if (action === 'look') return `Look at the pizza now. ${why}`;
  return lookAt === null || lookAt <= t ? why : `Look at the pizza in ${formatSpan(lookAt - t)}. ${why}`;
}
