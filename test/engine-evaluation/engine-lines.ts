import type { EngineOutput } from '../../shared/engine.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { createCore } from '../../server/core/core.ts';
import type { Case } from './case-bank.ts';
import type { StoneReading } from './scoring/plain-alarm.ts';
import type { Line } from './scoring/score.ts';

/** What the score looks at in the engine's answers. */
function linesOf(output: EngineOutput): Line[] {
  if (output.type === 'alert') return [{ t: output.t, type: 'alert', alert: output.alert }];
  if (output.type === 'noticed')
    return [{ t: output.t, type: 'noticed', event: output.event, at: output.at }];
  if (output.type !== 'forecast') return [];
  const { t, readyAt, readyBetween, curves, stone, stoneError } = output;
  return [{ t, type: 'forecast', readyAt, readyBetween, stone, stoneError, curve: curves.stone }];
}

/** The engine over a recording, line by line, by the way that `peelside analyse` takes. */
export function engineLines(header: RecordingHeader, lines: readonly RecordingLine[]): Line[] {
  const core = createCore(header);
  return lines.flatMap((line) => core.line(line).outputs.flatMap(linesOf));
}

/** The same by someone who looks when a look is asked for. @returns `looks`: when the stone was looked at, s */
export function answeredLines({ header, lines, answer = () => [] }: Case): {
  lines: Line[];
  looks: number[];
} {
  const core = createCore(header);
  const coming: RecordingLine[] = [];
  const found: Line[] = [];
  const looks: number[] = [];
  const take = (line: RecordingLine): void => {
    if ('channel' in line && line.channel === 'stone') looks.push(line.t);
    for (const output of core.line(line).outputs) {
      found.push(...linesOf(output));
      if (output.type === 'alert' && output.alert === 'look-due') coming.push(...answer(output.t));
    }
  };
  for (const line of lines) {
    for (let next = coming[0]; next && next.t <= line.t; next = coming[0]) {
      coming.shift();
      take(next);
    }
    take(line);
  }
  return { lines: found, looks };
}

/** The stone's readings that have a value. */
export const stoneReadings = (lines: readonly RecordingLine[]): StoneReading[] =>
  lines.flatMap((line) =>
    'celsius' in line && line.channel === 'stone' && typeof line.celsius === 'number'
      ? [{ t: line.t, celsius: line.celsius }]
      : [],
  );
