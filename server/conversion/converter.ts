import type { z } from 'zod';
import { Fault, firstIssue } from '../../shared/fault.ts';

/** `fault`: why there is no value. `doubt`: why the value is not to be relied on. In words for the person. */
export type Converted = { celsius: number | null; fault?: string; doubt?: string };

/** @param value in the unit that the converter takes; @param junction °C of the cold junction where one was sent */
export type Convert = (value: number, junction: number | null) => Converted;

/** Port of a conversion: a raw electrical or optical value → °C by a published function. Pure; never NaN, never throws. */
export interface Converter {
  kind: string;
  /** For the probe page. */
  label: string;
  /** The quantities (server/decoder/decoder.ts) that it takes. */
  takes: readonly string[];
  /** Shape of its options, for the page and the HTTP API; `kind` itself is left aside. */
  options: z.ZodType;
  /** @throws Fault `invalid` when the options are wrong, saying which */
  prepare(options: Record<string, unknown>): Convert;
  /** Lowest and highest °C that the sensor can tell. */
  range?(options: Record<string, unknown>): readonly [number, number];
}

/** @throws Fault `invalid` that names the option */
export function parsed<T extends z.ZodType>(schema: T, options: Record<string, unknown>): z.output<T> {
  const result = schema.safeParse(options);
  if (result.success) return result.data;
  const { at, text } = firstIssue(result.error.issues);
  throw new Fault('invalid', `The conversion is wrong: ${text}.`, at);
}
