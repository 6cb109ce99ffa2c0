import { z } from 'zod';

/** Rows that can't be read are passed over, and counted, so that one bad row does not take the rest with it. */
export type LeftOut = {
  /** The JSON of a row as its schema has it; null, counted, where it is not so. */
  read<T>(what: string, key: string | number, schema: z.ZodType<T>, text: string): T | null;
  /** In words, for a terminal and the page; null where all could be read. */
  message(): string | null;
};

/** Told one by one on the terminal up to here. */
const MAX_REPORTED = 20;

export function createLeftOut(): LeftOut {
  const seen = new Map<string, Set<string | number>>();
  let reported = 0;
  function note(what: string, key: string | number, why: string): void {
    const keys = seen.get(what) ?? new Set();
    if (keys.has(key)) return;
    seen.set(what, keys.add(key));
    if (++reported <= MAX_REPORTED)
      console.error(`A ${what} that is kept can't be read and is left out (${key}: ${why}).`);
  }
  return {
    read(what, key, schema, text) {
      const value = jsonOf(text);
      const parsed = schema.safeParse(value);
      if (parsed.success) return parsed.data;
      note(what, key, value === undefined ? 'not JSON' : (parsed.error.issues[0]?.message ?? 'wrong'));
      return null;
    },
    message() {
      if (seen.size === 0) return null;
      const parts = [...seen].map(([what, { size }]) => `${size} ${what}${size === 1 ? '' : 's'}`);
      return `what can't be read of what was kept: ${parts.join(', ')} left out. All else is there.`;
    },
  };
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
