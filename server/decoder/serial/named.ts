import type { UnitName } from '../../../shared/mapping.ts';
import type { Measurement } from '../decoder.ts';
import { inUnit } from '../field.ts';
import { isBattery, isJunction, unitInName, type Token } from './token.ts';

/** A value with the name that its board gave it, which may say its unit or that it is a battery or a cold junction. */
export type Named = { part: string; name: string; token: Token };

/** @param usual unit of numbers that come without one @returns null for what has nothing to do with temperature */
export function namedValue(
  { part, name, token }: Named,
  usual: UnitName,
  nothing: readonly number[],
): Measurement | null {
  const unit = token.unit ?? unitInName(name) ?? usual;
  if (isBattery(name))
    return unit === 'V' || token.value === null ? null : inUnit(part, token.value, 'percent');
  if (unit === 'percent') return null;
  const { quantity } = inUnit(part, 0, unit);
  const own = isJunction(name) && quantity === 'celsius' ? 'junction' : quantity;
  if (token.value === null) return { part, quantity: own, value: null, fault: token.fault };
  if (nothing.includes(token.value))
    return { part, quantity: own, value: null, fault: 'nothing is plugged in' };
  return { ...inUnit(part, token.value, unit), quantity: own };
}
