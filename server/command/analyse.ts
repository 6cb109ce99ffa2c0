import type { EngineOutput } from '../../shared/engine.ts';
import { createCourse } from '../course/course.ts';
import { openRecording } from '../course/recording.ts';
import { onlyWord, options } from './command.ts';

/** Times to the millisecond, other figures to a thousandth: what the sensors can carry, and short lines. */
const rounded = (_key: string, value: unknown): unknown =>
  typeof value === 'number' ? Math.round(value * 1000) / 1000 : value;

const PRINTED = new Set<EngineOutput['type']>(['state', 'alert', 'forecast', 'noticed']);

function printed(output: EngineOutput): string | null {
  if (!PRINTED.has(output.type)) return null;
  const { curves, ...line } = 'curves' in output ? output : { ...output, curves: null };
  void curves; // the curve of the next 20 min is for screens
  return JSON.stringify(line, rounded) + '\n';
}

/** Runs the engine over a recording, line by line, as a live cook would. */
export async function run(args: string[], usage: string): Promise<void> {
  const { positionals } = options(usage, args, {});
  const recording = await openRecording(onlyWord(usage, positionals));
  const course = createCourse(recording.header);
  let text = '';
  const lines = recording.lines(({ number, why }) => console.error(`line ${number} was skipped: ${why}.`));
  for await (const line of lines) {
    for (const output of course.line(line).outputs) text += printed(output) ?? '';
    if (text.length < 65_536) continue;
    process.stdout.write(text);
    text = '';
  }
  process.stdout.write(text);
}
