import { HIGHEST_CELSIUS, LOWEST_CELSIUS } from '../../shared/units.ts';
import type { Quality, Role } from '../../shared/words.ts';
import {
  LEVEL_LASTS_SECONDS,
  freshHistory,
  addSample,
  type QualityHistory,
  type Sample,
} from './quality-history.ts';

/**
 * The rules by which a reading is trusted, as the page states them. `bad` is no value; `uncertain` is shown with its
 * reason and never makes an alert. They are loose on purpose: a lid opening, a pizza put on, a probe moved are honest.
 * The figures are our choice, no source.
 */
export const TRUST_RULES = [
  {
    rule: 'open circuit',
    quality: 'bad',
    when: 'the device says so, or the resistance or voltage is beyond the sensor',
  },
  {
    rule: 'short circuit',
    quality: 'bad',
    when: 'the device says so, or the resistance is below the sensor',
  },
  { rule: 'no value', quality: 'bad', when: 'the device says that it has no value' },
  { rule: 'out of range', quality: 'bad', when: 'outside of what the sensor can measure' },
  { rule: 'implausible', quality: 'uncertain', when: 'below −60 °C or above 900 °C' },
  {
    rule: 'doubted',
    quality: 'uncertain',
    when: 'its conversion says so: bare metal under an infrared thermometer, an NTC beyond its points, a cold junction that can’t be',
  },
  { rule: 'clipped', quality: 'uncertain', when: 'at the very end of what the device can measure' },
  {
    rule: 'jump',
    quality: 'uncertain',
    when: 'faster than anything in a grill moves; believed once it has held for 6 s, but no single number below 60 °C or above 450 °C',
  },
  {
    rule: 'unit',
    quality: 'uncertain',
    when: 'from one reading to the next what Fahrenheit would read where it was Celsius, or the other way round; until it is back',
  },
  {
    rule: 'stuck',
    quality: 'uncertain',
    when: 'exactly the same for 5 min while the other channel moved by 25 °C, or for 15 min, and unusually for it',
  },
  {
    rule: 'disagrees',
    quality: 'uncertain',
    when: 'below 60 °C for 25 min beside a twin above 180 °C that does not cool',
  },
  {
    rule: 'split',
    quality: 'uncertain',
    when: 'apart by 40 °C from the other probe of its channel for 3 min',
  },
  { rule: 'low battery', quality: 'uncertain', when: 'at 3 % or less; told from 15 % on' },
  { rule: 'late', quality: 'uncertain', when: 'it reached us more than 2 min after it was taken' },
] as const;

const PLAUSIBLE_RANGE_CELSIUS = [-60, 900] as const;
const EMPTY_BATTERY_PERCENT = 3;
const LATE_AFTER_SECONDS = 120;
const STUCK = { seconds: 300, count: 20, twinMoved: 25, timesUsual: 8 };
const STUCK_ALONE = { seconds: 900, count: 40, timesUsual: 20 };
const COLD_BESIDE = { below: 60, twinAbove: 180, seconds: 1500, twinMayFall: 10 };
const DISAGREEMENT = { celsius: 40, seconds: 180 };

/** Plain JSON, one history for each probe of a channel. */
export type QualityState = { histories: Record<string, QualityHistory> };
export const freshQualityState = (): QualityState => ({ histories: {} });

/** A probe that is gone, or measures another place now, is no witness any more. */
export function forget(state: QualityState, channel: string, via: string): void {
  delete state.histories[`${channel} ${via}`];
}

/** All that the rules may look at. `t` and `late` in seconds, `battery` in percent. */
export type QualityInput = {
  /** The probe, or what sent the value where there is none. */
  via: string;
  channel: string;
  role: Role;
  t: number;
  late: number;
  /** Typed in by a person, who may point at one thing now and at another then. */
  byHand: boolean;
  celsius: number | null;
  fault?: string | undefined;
  doubt?: string | undefined;
  range?: readonly [number, number] | undefined;
  clipped: boolean;
  battery?: number | undefined;
};
export type Assessment = { celsius: number | null; quality: Quality; reason?: string };

/** Assesses one reading by the rules; `state` is changed in place. Constant work. */
export function assessQuality(state: QualityState, input: QualityInput): Assessment {
  const { celsius } = input;
  if (celsius === null)
    return bad(FAULT_WORDS[input.fault ?? ''] ?? input.fault ?? 'the probe sent no value');
  const [low, high] = input.range ?? [LOWEST_CELSIUS, HIGHEST_CELSIUS];
  if (!(celsius >= low && celsius <= high)) return bad(`out of range: ${shown(celsius)} can't be`);
  const reason = doubtOfValue(input, celsius) ?? doubtOfChange(state, input, celsius);
  return reason === null ? { celsius, quality: 'good' } : { celsius, quality: 'uncertain', reason };
}

const bad = (reason: string): Assessment => ({ celsius: null, quality: 'bad', reason });

/** Faults by the names that devices and recordings use. */
const FAULT_WORDS: Record<string, string> = {
  'open-circuit': 'open circuit: the sensor is unplugged or its wire is broken',
  open: 'open circuit: the sensor is unplugged or its wire is broken',
  'short-circuit': 'short circuit: the wires touch',
  short: 'short circuit: the wires touch',
  'out-of-range': 'out of range of the sensor',
  'no-value': 'the probe says that it has no value',
};

const shown = (celsius: number): string => `${Math.round(celsius)} °C`;

/** What the value and its company say by themselves. */
function doubtOfValue(input: QualityInput, celsius: number): string | null {
  const { doubt, clipped, battery = 100, late } = input;
  if (doubt !== undefined) return FAULT_WORDS[doubt] ?? doubt;
  if (clipped)
    return `clipped: ${Number(celsius.toFixed(2))} °C is the end of what this thermometer can measure`;
  if (celsius < PLAUSIBLE_RANGE_CELSIUS[0] || celsius > PLAUSIBLE_RANGE_CELSIUS[1])
    return `implausible: ${shown(celsius)} in a charcoal grill`;
  if (battery <= EMPTY_BATTERY_PERCENT) return `low battery: ${battery} %, the reading may be off`;
  if (late > LATE_AFTER_SECONDS) return `late: it reached us ${Math.round(late / 60)} min after it was taken`;
  return null;
}

/** What its course says, beside that of the other channels. */
function doubtOfChange(state: QualityState, input: QualityInput, celsius: number): string | null {
  const { via, channel, role, t, byHand } = input;
  if (byHand) return null;
  const history = (state.histories[`${channel} ${via}`] ??= freshHistory(channel, role));
  // A reading from before the last one says nothing about how fast things move.
  if (history.last && t < history.last.t) return null;
  const twin = levelOf(state, history, t);
  const leap = addSample(history, { t, celsius }, twin);
  if (leap !== null) return leapWords(leap, history);
  return stuck(history, t, twin) ?? coldBeside(history, t, twin) ?? apart(state, history, { t, celsius });
}

function leapWords(leap: number, { leap: held }: QualityHistory): string {
  if (held?.otherUnit)
    return 'unit: it reads as if the thermometer had been switched between Celsius and Fahrenheit: switch it back, or change how it is read on the Probes page';
  const by = `jump: ${leap > 0 ? 'up' : 'down'} by ${Math.round(Math.abs(leap))} °C, faster than anything in a grill moves`;
  return held && held.count > 2 && held.isFlat ? `${by}, and standing still there` : by;
}

/** The slow mean of the twin: of the stone the dome, of the dome the stone. */
function levelOf(state: QualityState, { role }: QualityHistory, t: number): number | null {
  const twinRole = role === 'stone' ? 'dome' : 'stone';
  if (role === 'other') return null;
  for (const history of Object.values(state.histories)) {
    if (history.role === twinRole && history.level && t - history.level.t <= LEVEL_LASTS_SECONDS)
      return history.level.celsius;
  }
  return null;
}

function stuck({ run, usualRun }: QualityHistory, t: number, twin: number | null): string | null {
  // A probe that has not moved yet waits for its fire.
  if (!run || usualRun === null) return null;
  const seconds = t - run.since;
  const twinMoved = twin !== null && run.twin !== null && Math.abs(twin - run.twin) >= STUCK.twinMoved;
  const limit = twinMoved ? STUCK : STUCK_ALONE;
  if (seconds < limit.seconds || run.count < limit.count || run.count < limit.timesUsual * usualRun)
    return null;
  return `stuck: exactly ${run.value} °C for ${Math.round(seconds / 60)} min`;
}

function coldBeside(history: QualityHistory, t: number, twin: number | null): string | null {
  const level = history.level?.celsius;
  const { coldBeside: cold } = history;
  const isCold =
    level !== undefined && level < COLD_BESIDE.below && twin !== null && twin > COLD_BESIDE.twinAbove;
  if (!isCold) history.coldBeside = null;
  else if (!cold || twin < cold.twin - COLD_BESIDE.twinMayFall) history.coldBeside = { since: t, twin };
  if (!history.coldBeside || t - history.coldBeside.since < COLD_BESIDE.seconds || twin === null) return null;
  const other = history.role === 'stone' ? 'dome' : 'stone';
  return `disagrees: ${shown(level ?? 0)} beside a ${other} of ${shown(twin)} for ${Math.round((t - history.coldBeside.since) / 60)} min: is the probe in its place?`;
}

/** Two probes of one channel. */
function apart(state: QualityState, history: QualityHistory, now: Sample): string | null {
  let furthest = 0;
  for (const other of Object.values(state.histories)) {
    if (other === history || other.channel !== history.channel || !other.level) continue;
    if (now.t - other.level.t > LEVEL_LASTS_SECONDS) continue;
    furthest = Math.max(furthest, Math.abs(other.level.celsius - (history.level?.celsius ?? now.celsius)));
  }
  if (furthest < DISAGREEMENT.celsius) history.apartSince = null;
  else history.apartSince ??= now.t;
  if (history.apartSince === null || now.t - history.apartSince < DISAGREEMENT.seconds) return null;
  return `split: apart by ${Math.round(furthest)} °C from the other probe of this channel`;
}
