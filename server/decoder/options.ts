import type { z } from 'zod';
import { firstIssue } from '../../shared/fault.ts';
import { OptionsError } from './decoder.ts';

/** Options by schema; parsed once for each object, since frames come by the thousand. */
export function optionsReader<T extends z.ZodType>(
  schema: T,
): (options: Record<string, unknown>) => z.output<T> {
  const known = new WeakMap<object, z.output<T>>();
  return (options) => {
    const before = known.get(options);
    if (before !== undefined) return before;
    const result = schema.safeParse(options);
    if (!result.success)
      throw new OptionsError(`the probe's options are wrong: ${firstIssue(result.error.issues).text}.`);
    known.set(options, result.data);
    return result.data;
  };
}
