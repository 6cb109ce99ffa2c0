import { Fault } from '../../shared/fault.ts';
import type { Conversion } from '../../shared/probe.ts';
import type { Convert, Converter } from './converter.ts';
import { emissivity } from './emissivity.ts';
import { ntc } from './ntc.ts';
import { platinum } from './platinum.ts';
import { thermocouple } from './thermocouple.ts';

/**
 * Every conversion. A new one: a file here that exports a `Converter`, its line in this list, and a published table of
 * it in fixtures/tables/ with a test that walks the rows.
 */
export const CONVERTERS: readonly Converter[] = [thermocouple, platinum, ntc, emissivity];

/** @throws Fault `invalid` when there is no such kind */
export function converterOf(kind: string): Converter {
  const found = CONVERTERS.find((converter) => converter.kind === kind);
  if (found) return found;
  const known = CONVERTERS.map((converter) => converter.kind).join(', ');
  throw new Fault('invalid', `There is no conversion "${kind}": it is one of ${known}.`, 'conversion.kind');
}

/** @throws Fault `invalid` when the kind is not known or an option is wrong */
export function prepare({ kind, ...options }: Conversion): Convert {
  return converterOf(kind).prepare(options);
}
