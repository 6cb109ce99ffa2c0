import type { Seen } from './seen.ts';
import { offsetOf, peakIfShut, type Response } from './response.ts';

/** How hard the dome makes up for what the stone will lack or be over. */
const DOME_GAIN = 1.5;
/** The dome leads the stone on the way up by so much at most, and is let down below its band by so much, °C. */
const MAX_LEAD_CELSIUS = 70;
const MAX_LAG_CELSIUS = 80;
/** How much of the offset between dome and stone counts, and how far below the band it begins to, °C. */
const OFFSET_SHARE = 0.7;
const OFFSET_RANGE_CELSIUS = 80;
/** Stays so far below what the grill may have, °C. */
const LIMIT_MARGIN_CELSIUS = 20;
/** Where nobody knows the stone: the dome a little over the middle of the band. */
const DEFAULT_LEAD_CELSIUS = 15;

const limited = (value: number, low: number, high: number): number => Math.max(low, Math.min(high, value));

/**
 * Where the dome should be, °C, and what the stone coasts to with the vents shut. Under a dome at the middle − offset the
 * stone settles in the middle of its band. What it would still lack even if it coasted from now on is made up for by a
 * hotter dome, and what it would be over even so by a cooler one: the fire is driven until coasting is enough, no longer.
 */
export function domeWanted(
  response: Response,
  { stone, dome, low, high }: Omit<Seen, 't'>,
  domeLimit: number | null,
): { domeTo: number; coasts: number | null } {
  const middle = (low + high) / 2;
  const most = domeLimit === null ? Infinity : domeLimit - LIMIT_MARGIN_CELSIUS;
  if (!stone || !dome)
    return { domeTo: Math.round(Math.min(most, middle + DEFAULT_LEAD_CELSIUS)), coasts: null };
  const domePerMinute = limited(dome.perMinute, -15, 15);
  const coasts = peakIfShut(response, { stone: stone.celsius, dome: dome.celsius, domePerMinute });
  const push = limited(DOME_GAIN * (middle - coasts), -MAX_LAG_CELSIUS, MAX_LEAD_CELSIUS);
  const isWarm = limited(1 - (low - stone.celsius) / OFFSET_RANGE_CELSIUS, 0, 1);
  const offset = isWarm * limited(OFFSET_SHARE * offsetOf(response), -40, 60);
  return { domeTo: Math.round(Math.min(most, middle - offset + push)), coasts };
}
