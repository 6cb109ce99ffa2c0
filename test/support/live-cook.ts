import type { RecordingLine } from '../../shared/recording.ts';
import { bundledRecording, type Bench } from './session.ts';

/**
 * A live cook: frames of the fixture as a source delivers them, a person who taps, ticks of the server between.
 * @param eachLine called after each line
 * @param eachSecond called after each tick
 */
export async function playLive(
  bench: Bench,
  name: string,
  eachLine: (line: RecordingLine) => void = () => {},
  eachSecond: () => void = () => {},
): Promise<number> {
  const { header, lines } = bundledRecording(name);
  for (const probe of header.probes) bench.store.putProbe(probe);
  const id = await bench.session.startCook({ name: 'By hand', targets: header.targets });
  const start = bench.clock.at;
  for (const line of lines) {
    while (bench.clock.at + 1000 < start + line.t * 1000) {
      bench.clock.at += 1000;
      bench.session.advance();
      eachSecond();
    }
    bench.clock.at = start + line.t * 1000;
    const { t: _, ...body } = line;
    if ('event' in body) await bench.commands.event(body);
    else bench.ingest.frame(body);
    eachLine(line);
  }
  return id;
}
