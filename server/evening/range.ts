import { Fault } from '../../shared/fault.ts';

/** A value lies outside the range in which a calculation holds; the sentence names both. */
export class OutOfRange extends Fault {
  override name = 'OutOfRange';
  constructor(sentence: string, at?: string) {
    super('invalid', sentence, at);
  }
}

/** A figure as people read it: at most `digits` decimals, none where it is whole. */
export const figure = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));

/**
 * `value` itself, where it lies within the range, ends included.
 * @throws OutOfRange "The room is 60 °C, but this holds from 0 to 40 °C."
 */
export function within(
  what: string,
  value: number,
  [low, high]: readonly [number, number],
  unit = '',
): number {
  if (value >= low && value <= high) return value;
  const tail = unit && ` ${unit}`;
  throw new OutOfRange(
    `${what} is ${figure(value, 4)}${tail}, but this holds from ${low} to ${high}${tail}.`,
  );
}
