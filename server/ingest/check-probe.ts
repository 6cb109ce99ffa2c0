import { Fault, firstIssue } from '../../shared/fault.ts';
import type { Probe } from '../../shared/probe.ts';
import { prepare } from '../conversion/converter-list.ts';
import { DECODERS } from '../decoder/decoder-list.ts';

/**
 * Whether a probe's decoder, options and conversion can work, before it is kept.
 * @throws Fault `invalid` that says which is wrong
 */
export function checkProbe({ decoder: name, options = {}, conversion }: Probe): void {
  if (conversion) prepare(conversion);
  if (name === undefined) return;
  const decoder = DECODERS.find((decoder) => decoder.name === name);
  if (!decoder) {
    const known = DECODERS.map((decoder) => decoder.name).join(', ');
    throw new Fault('invalid', `There is no decoder "${name}": it is one of ${known}.`, 'decoder');
  }
  const result = decoder.options?.safeParse(options);
  if (!result || result.success) return;
  const { at, text } = firstIssue(result.error.issues);
  throw new Fault('invalid', `The options for ${decoder.label} are wrong: ${text}.`, `options.${at}`);
}
