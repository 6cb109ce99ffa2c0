import type { Command } from './command.ts';

/** Terminals are seldom narrower. */
const HELP_COLUMNS = 100;
const INDENT_COLUMNS = 6;

/** All commands: how each is called, and below it what it does. No line is wider than 100 columns. */
export const helpText = (commands: readonly Command[]): string =>
  [
    'peelside COMMAND',
    ...commands.map(({ usage, does }) => `${wrapped(usage)}\n${' '.repeat(INDENT_COLUMNS)}${does}`),
  ].join('\n\n');

/** Breaks between the parts of a usage line. */
function wrapped(usage: string): string {
  const lines = [' '];
  for (const part of partsOf(usage)) {
    const joined = `${lines[lines.length - 1] ?? ''} ${part}`;
    if (joined.length <= HELP_COLUMNS) lines[lines.length - 1] = joined;
    else lines.push(' '.repeat(INDENT_COLUMNS) + part);
  }
  return lines.join('\n');
}

/** Words, and options in brackets as they are, brackets within them too. */
function partsOf(usage: string): string[] {
  const parts: string[] = [];
  let depth = 0;
  for (const word of usage.split(' ')) {
    if (depth > 0) parts[parts.length - 1] += ` ${word}`;
    else parts.push(word);
    depth += word.split('[').length - word.split(']').length;
  }
  return parts;
}
