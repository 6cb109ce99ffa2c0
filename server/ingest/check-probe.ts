import { z } from 'zod';
import { strict } from '../../shared/api/strict.ts';
import { Fault, firstIssue } from '../../shared/fault.ts';
import type { Probe } from '../../shared/probe.ts';
import { converterOf, prepare } from '../conversion/converter-list.ts';
import { DECODERS } from '../decoder/decoder-list.ts';
import type { Decoder } from '../decoder/decoder.ts';

/** How a probe's frames are read. */
type Reads = Pick<Probe, 'decoder' | 'options' | 'conversion'>;

/**
 * Whether a probe's decoder, options and conversion can work, before it is kept.
 * @param ofSource the options that the probe's source takes; those of its decoder stand beside them
 * @throws Fault `invalid` that says which is wrong
 */
export function checkProbe(reads: Reads, ofSource: z.ZodObject): void {
  checkNames(reads, ofSource);
  if (reads.conversion) prepare(reads.conversion);
  const decoder = namedDecoder(reads);
  const result = decoder?.options?.safeParse(reads.options ?? {});
  if (!decoder || !result || result.success) return;
  const { at, text } = firstIssue(result.error.issues);
  throw new Fault('invalid', `The options for ${decoder.label} are wrong: ${text}.`, `options.${at}`);
}

/**
 * Whether all names within the options and the conversion are known, which would be left aside without a word.
 * @throws Fault `invalid` that says which is not
 */
export function checkNames(reads: Reads, ofSource: z.ZodObject): void {
  const { options = {}, conversion } = reads;
  refuseUnknown(optionsOf(namedDecoder(reads), ofSource), options, 'options');
  if (!conversion) return;
  const { kind, ...own } = conversion;
  refuseUnknown(converterOf(kind).options, own, 'conversion');
}

function namedDecoder({ decoder: name }: Reads): Decoder | undefined {
  if (name === undefined) return undefined;
  const decoder = DECODERS.find((decoder) => decoder.name === name);
  if (decoder) return decoder;
  const known = DECODERS.map((decoder) => decoder.name).join(', ');
  throw new Fault('invalid', `There is no decoder "${name}": it is one of ${known}.`, 'decoder');
}

/** Of a probe that names no decoder any may come to read its frames. */
function optionsOf(decoder: Decoder | undefined, ofSource: z.ZodObject): z.ZodObject {
  const readers = decoder ? [decoder] : DECODERS;
  const shapes = readers.map(({ options }) => options?.partial().shape ?? {});
  // What source and decoder both take has all of its members at the source.
  return z.object(Object.assign({}, ...shapes, ofSource.shape) as z.ZodRawShape);
}

function refuseUnknown(schema: z.ZodType, value: unknown, within: string): void {
  const { issues = [] } = strict(schema).safeParse(value).error ?? {};
  const unknown = issues.filter(({ code }) => code === 'unrecognized_keys');
  if (unknown.length === 0) return;
  const { at, message } = firstIssue(unknown);
  throw new Fault('invalid', `${within}.${at}: ${message}.`, `${within}.${at}`);
}
