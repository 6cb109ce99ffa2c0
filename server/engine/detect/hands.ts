import { channelOf } from '../estimate/channel.ts';
import type { Baking, EngineState } from '../engine-state.ts';
import { estimateOf, lookedAt, remark } from '../heat/follow.ts';
import { logLikelihood, type Spell } from '../heat/alternatives.ts';
import type { Facts } from '../estimate/facts.ts';
import { putOn, takeOff } from '../pizzas.ts';

/**
 * What was done under an open lid where nobody measures the stone: put on, turned, taken off, or only looked. The lid and
 * the time tell, and the next look at the stone, which lies free then, overrules. Times s.
 */

/**
 * A look typed in so long after the lid went up is what it was opened for: the stone lay free then. One typed in before
 * was through an opening of its own.
 */
const LOOK_WITHIN_SECONDS = 45;
/** From the lid's opening to the pizza on the stone, and to the pizza off it. */
const ON_AFTER = 6;
const OFF_AFTER_SECONDS = 7;
/** Pizzas go on a stone that is about hot enough: no farther than this below or above its band, °C. */
const BAND_MARGIN_CELSIUS = { below: 25, above: 40 };
/** An opening after this share of the time to off is the off, an earlier one the turn. */
const IS_OFF = 0.62;

export type Hands = { what: 'launch' | 'off'; at: number; confidence: number };

/**
 * Assesses the opening at `openedAt`, some time after it. @returns what was done; null: nothing that bears on
 * the stone
 */
export function assessLid(state: EngineState, facts: Facts, openedAt: number): Hands | null {
  const { stone, low, high } = facts;
  const looked = lookedAt(state, 'stone')?.looks.at(-1)?.t ?? -1e6;
  if (looked >= openedAt && looked - openedAt < LOOK_WITHIN_SECONDS) return null;
  const baking = state.onStone.at(-1);
  if (baking) return underPizza(baking, openedAt);
  if (
    !stone ||
    stone.celsius < low - BAND_MARGIN_CELSIUS.below ||
    stone.celsius > high + BAND_MARGIN_CELSIUS.above
  )
    return null;
  return { what: 'launch', at: openedAt + ON_AFTER, confidence: 0.6 };
}

/** The lid is up, or was, and nobody knows yet what for. */
export const isUnassessed = ({ lid, watch }: EngineState): boolean =>
  lid.phase !== 'shut' || (lid.wasOpen && lid.openedAt > watch.assessedLid);

function underPizza(baking: Baking, openedAt: number): Hands | null {
  const age = openedAt - baking.launchedAt;
  const isTurned = baking.turnedAt !== null && openedAt - baking.turnedAt > 60;
  if (age > IS_OFF * baking.offAfter || (isTurned && age > (baking.turnAfter ?? 0) + 60))
    return { what: 'off', at: openedAt + OFF_AFTER_SECONDS, confidence: 0.6 };
  if (age > 60) baking.turnedAt ??= openedAt;
  return null;
}

export function did(state: EngineState, { what, at }: Hands): void {
  if (what === 'launch') putOn(state, { launchedAt: at });
  else
    for (const baking of state.onStone.filter((baking) => !baking.isConfirmed))
      takeOff(state, baking, at, null);
  remark(state, at);
}

/** So much likelier it must be that nothing lay there than that what was guessed did. */
const LIKELIER = 1;

/**
 * Somebody looked at the stone: it lies free. What was only guessed since the look before is held against it.
 * To be called before the look is taken in.
 */
export function assessGuesses(state: EngineState, t: number, celsius: number, variance: number): void {
  const before = lookedAt(state, 'stone')?.looks.at(-2)?.t ?? 0;
  if (!channelOf(state.channels, 'dome', t)) return assessUnseen(state, { t, before, celsius, variance });
  const on = state.onStone.filter((baking) => !baking.isConfirmed);
  const off = state.takenOff.filter(({ baking }) => !baking.isConfirmed && baking.launchedAt > before);
  if (on.length + off.length === 0) return;
  const earlier: Spell[] = off.map(({ baking, at }) => ({ from: baking.launchedAt, to: at }));
  const stillOn: Spell[] = on.map(({ launchedAt }) => ({
    from: launchedAt,
    to: offAt(state, launchedAt, t),
  }));
  const from = Math.min(...[...earlier, ...stillOn].map((spell) => spell.from));
  const look = { celsius, variance };
  const asGuessed = logLikelihood(state, from, [...earlier, ...stillOn], look);
  const none = logLikelihood(state, from, [], look);
  if (none > asGuessed + LIKELIER) {
    state.onStone = state.onStone.filter((baking) => baking.isConfirmed);
    state.takenOff = state.takenOff.filter(({ baking }) => baking.isConfirmed || baking.launchedAt <= before);
    state.offAt = state.takenOff.at(-1)?.at ?? null;
  } else for (const baking of on) takeOff(state, baking, offAt(state, baking.launchedAt, t), null);
  remark(state, from);
}

/** So many standard errors below what was expected, and °C, a look must be for a pizza that nobody saw. */
const BELOW = 2;
const LEAST_BELOW = 8;
/** How long ago such a pizza may have come off, s. */
const OFF_BEFORE = [30, 90, 150, 240, 330, 420];

/** No lid was seen, since nothing measures the dome: what explains the look best, a pizza in between or none? */
function assessUnseen(
  state: EngineState,
  { t, before, celsius, variance }: { t: number; before: number; celsius: number; variance: number },
): void {
  const now = estimateOf(state, t);
  if (!now || state.onStone.length > 0 || celsius < state.targets.stone[0] - 80) return;
  if (
    now.celsius < state.targets.stone[0] ||
    now.celsius - celsius < Math.max(LEAST_BELOW, BELOW * now.error)
  )
    return;
  const look = { celsius, variance };
  const { offAfter } = state.bake;
  let best = logLikelihood(state, before, [], look) + LIKELIER;
  let spell: Spell | null = null;
  for (const ago of OFF_BEFORE) {
    const to = t - ago;
    const tried = { from: Math.max(before, to - offAfter), to };
    if (tried.to - tried.from < 60) continue;
    const likely = logLikelihood(state, before, [tried], look);
    if (likely <= best) continue;
    best = likely;
    spell = tried;
  }
  if (!spell) return;
  const baking = putOn(state, { launchedAt: spell.from });
  takeOff(state, baking, spell.to, null);
  remark(state, spell.from);
}

/** A pizza of which no off was seen came off when the lid was last up, else halfway. */
function offAt({ lid }: EngineState, launchedAt: number, t: number): number {
  return lid.openedAt > launchedAt + 60
    ? lid.openedAt + OFF_AFTER_SECONDS
    : launchedAt + 0.7 * (t - launchedAt);
}
