import { createReadStream } from 'node:fs';
import { createInterface } from 'node:readline';
import { Fault } from '../../shared/fault.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { readHeader, readLine } from './read-line.ts';

/** A line that can't be read: its number, counted from 1 with the header, and why. */
export type BadLine = { number: number; why: string };
export type RecordingReader = {
  header: RecordingHeader;
  /** The lines that can be read, in order; each bad one goes to `onBad` and is skipped. */
  lines(onBad: (bad: BadLine) => void): AsyncGenerator<RecordingLine>;
};

/**
 * Reads a recording line by line, so that memory does not grow with its length.
 * @param text the lines, the header first
 * @throws Fault `invalid` when the first line is not a header that this version reads
 */
export async function readRecording(text: AsyncIterator<string>): Promise<RecordingReader> {
  const first = await text.next();
  const header = readHeader(first.done ? '' : first.value);
  async function* lines(onBad: (bad: BadLine) => void): AsyncGenerator<RecordingLine> {
    let last = 0;
    for (let number = 2; ; number++) {
      const next = await text.next();
      if (next.done) return;
      if (next.value.trim() === '') continue;
      const line = read(next.value, last, (why) => onBad({ number, why }));
      if (!line) continue;
      last = line.t;
      yield line;
    }
  }
  return { header, lines };
}

function read(text: string, last: number, bad: (why: string) => void): RecordingLine | null {
  try {
    const line = readLine(text);
    if (line.t >= last) return line;
    bad(`its time runs back from ${last} s to ${line.t} s`);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    bad(error.message);
  }
  return null;
}

/** @throws Fault `not-found` when there is no such file, `invalid` as `readRecording` says */
export async function openRecording(path: string): Promise<RecordingReader> {
  const stream = createReadStream(path, { encoding: 'utf8' });
  await new Promise<void>((resolve, reject) => {
    stream.once('open', () => resolve());
    stream.once('error', (error) =>
      reject(
        new Fault('not-found', `The recording ${path} can't be read (${error.message}): check its name.`),
      ),
    );
  });
  const reader = createInterface({ input: stream, crlfDelay: Infinity });
  try {
    return await readRecording(reader[Symbol.asyncIterator]());
  } catch (error) {
    stream.destroy();
    throw error instanceof Fault
      ? new Fault(error.code, `${path} can't be played: ${error.message}.`)
      : error;
  }
}
