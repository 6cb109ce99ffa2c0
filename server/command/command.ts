import { parseArgs, type ParseArgsConfig } from 'node:util';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { Fault } from '../../shared/fault.ts';

/** One command of the terminal. A new one is a file and a line in command-list.ts. */
export type Command = {
  name: string;
  usage: string;
  does: string;
  /** Loads what it needs only when it is wanted: a short command starts fast. */
  load(): Promise<{ run(args: string[], usage: string): Promise<void> }>;
};

/** Options and words of a command line. @throws Fault with the usage when they do not fit */
export function options<T extends NonNullable<ParseArgsConfig['options']>>(
  usage: string,
  args: string[],
  known: T,
) {
  try {
    return parseArgs({ args, options: known, allowPositionals: true });
  } catch (error) {
    throw new Fault(
      'invalid',
      `${error instanceof Error ? firstSentence(error.message) : 'That was not understood.'} Use: peelside ${usage}`,
    );
  }
}

const firstSentence = (text: string): string => `${text.split(/\.\s|\n/)[0]}.`.replace('..', '.');

/** @throws Fault when `text` is not a number within the bounds */
export function numberOption(
  name: string,
  text: string | undefined,
  fallback: number,
  [low, high]: [number, number],
): number {
  if (text === undefined) return fallback;
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value) || value < low || value > high)
    throw new Fault('invalid', `The option --${name} takes a number from ${low} to ${high}, not "${text}".`);
  return value;
}

/** @throws Fault when the command's one word is missing */
export function onlyWord(usage: string, words: readonly string[]): string {
  if (words.length !== 1 || words[0] === undefined) throw new Fault('invalid', `Use: peelside ${usage}`);
  return words[0];
}

/** Where cooks are kept when --data does not say: the user's own data folder (XDG base directory specification). */
export const dataFolder = (given: string | undefined): string =>
  given ?? join(process.env['XDG_DATA_HOME'] ?? join(homedir(), '.local', 'share'), 'peelside');
