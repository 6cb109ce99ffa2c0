import type { EngineOutput, GrillPrior } from '../../shared/engine.ts';
import { Fault } from '../../shared/fault.ts';
import type { RecordingHeader } from '../../shared/recording.ts';
import { createCore } from '../core/core.ts';
import { openRecording, type BadLine, type RecordingReader } from '../core/recording-reader.ts';
import { createPipeline } from '../ingest/pipeline.ts';
import { options } from './command.ts';

/** Times to the millisecond, other figures to a thousandth: what the sensors can carry, and short lines. */
const rounded = (_key: string, value: unknown): unknown =>
  typeof value === 'number' ? Math.round(value * 1000) / 1000 : value;

const PRINTED = new Set<EngineOutput['type']>(['state', 'alert', 'forecast', 'noticed', 'advice']);

/** One line of what is printed; empty for what is not. */
export function printed(output: EngineOutput, cook: number | null): string {
  if (!PRINTED.has(output.type)) return '';
  const { curves, ...line } = 'curves' in output ? output : { ...output, curves: null };
  void curves; // the curve of the next 20 min is for screens
  return JSON.stringify(cook === null ? line : { ...line, cook }, rounded) + '\n';
}

const skipped = ({ number, why }: BadLine): void => console.error(`line ${number} was skipped: ${why}.`);

/** All that a recording says of its dome, [s, °C]. */
async function domeOf({ header, lines }: RecordingReader): Promise<[number, number][]> {
  const pipeline = createPipeline({ channels: header.channels, probes: header.probes });
  const ids = new Set(header.channels.flatMap(({ id, role }) => (role === 'dome' ? [id] : [])));
  const found: [number, number][] = [];
  for await (const line of lines(() => {})) {
    if ('event' in line) continue;
    for (const { t, channel, celsius, quality } of pipeline.frame(line).readings)
      if (ids.has(channel) && celsius !== null && quality === 'good') found.push([t, celsius]);
  }
  return found;
}

type Cook = { header: RecordingHeader; number: number | null; isPiped: boolean };

/** A piped recording is answered line by line; a file as fast as it can. */
async function analyse(
  { header, number, isPiped }: Cook,
  lines: RecordingReader['lines'],
  givenDome: readonly (readonly [number, number])[] | null,
): Promise<GrillPrior | null> {
  const core = createCore(header, givenDome);
  let text = '';
  for await (const line of lines(skipped)) {
    for (const output of core.line(line).outputs) text += printed(output, number);
    if (text.length < (isPiped ? 1 : 65_536)) continue;
    process.stdout.write(text);
    text = '';
  }
  process.stdout.write(text);
  return number === null ? null : core.learned();
}

/** Runs the engine over recordings, line by line, as live cooks of one grill would go, each taught by those before. */
export async function run(args: string[], usage: string): Promise<void> {
  const { positionals, values } = options(usage, args, { 'given-dome': { type: 'boolean', default: false } });
  if (positionals.length === 0) throw new Fault('invalid', `Use: peelside ${usage}`);
  if (values['given-dome'] && positionals.includes('-'))
    throw new Fault(
      'invalid',
      'The dome of what is piped in is not known ahead: name a file with --given-dome.',
    );
  let grill: GrillPrior | null = null;
  for (const [i, path] of positionals.entries()) {
    const given = values['given-dome'] ? await domeOf(await openRecording(path)) : null;
    const { header, lines } = await openRecording(path);
    const isAlone = positionals.length === 1;
    const cook: Cook = isAlone
      ? { header, number: null, isPiped: path === '-' }
      : { header: { ...header, grill }, number: i + 1, isPiped: path === '-' };
    grill = (await analyse(cook, lines, given)) ?? grill;
  }
}
