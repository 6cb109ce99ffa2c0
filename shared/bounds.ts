import { z } from 'zod';

/** What no honest use comes near, so that what is kept can always be read, shown and brought in again. */

/** A cook is at most a week, s. */
export const MAX_SECONDS = 7 * 86_400;
/** JSON that people and thermometers make is a handful of levels deep. */
export const MAX_DEPTH = 32;
/** Values in the JSON of one option; a long list of columns has some dozens. */
export const MAX_VALUES = 4096;

/** Whether JSON has no more levels and values than that; level by level, so that no depth fills the call stack. */
export function isBounded(value: unknown, depth = MAX_DEPTH, values = Infinity): boolean {
  let level: unknown[] = [value];
  let seen = 0;
  for (let deep = 0; level.length > 0; deep++) {
    if (deep > depth) return false;
    const next: unknown[] = [];
    for (const value of level) {
      if (typeof value !== 'object' || value === null) continue;
      const within = Array.isArray(value) ? value : Object.values(value);
      seen += within.length;
      if (seen > values) return false;
      for (const each of within) if (typeof each === 'object') next.push(each);
    }
    level = next;
  }
  return true;
}

/** Seconds since a cook began, and of what happened before it did. */
export const cookSeconds = z.number().min(0).max(MAX_SECONDS, 'a cook is at most 7 days');
export const aroundCook = z.number().min(-MAX_SECONDS).max(MAX_SECONDS, 'a cook is at most 7 days');

/** Instants that have a calendar date and that a database sorts, ms since the epoch: from 1970 to 2999. */
export const LAST_INSTANT = 32_503_679_999_999;
export const isInstant = (ms: number): boolean => ms >= 0 && ms <= LAST_INSTANT;
export const instantText = z.iso
  .datetime({ offset: true })
  .refine((text) => isInstant(Date.parse(text)), 'an instant lies between 1970 and 2999');

/** A name that programs look things up by: none that every object has ("__proto__", "constructor"). */
export const lookupName = (most: number) =>
  z
    .string()
    .min(1)
    .max(most)
    .refine((name) => !(name in {}), 'this name means something else to the program: choose another');

const small = (value: unknown): boolean => isBounded(value, MAX_DEPTH, MAX_VALUES);
const TOO_MUCH = `options hold at most ${MAX_DEPTH} levels and ${MAX_VALUES} values`;

/** Options whose members are the business of who reads them. */
export const openOptions = z.record(z.string().max(200), z.unknown()).refine(small, TOO_MUCH);
export const isSmallOption = { check: small, why: TOO_MUCH };
