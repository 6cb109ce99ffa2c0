import { createReadStream } from 'node:fs';
import { Fault } from '../../shared/fault.ts';
import type { PhotoLine } from '../../shared/evening/photo.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { linesOf } from './lines.ts';
import { isPhotoLine, readHeader, readLine, readPhotoLine } from './read-line.ts';

/** A line that can't be read: its number, counted from 1 with the header, and why. */
export type BadLine = { number: number; why: string };
/** Lets others work, if it is time; awaited after every line, good, bad or blank. */
export type Pause = () => Promise<void> | undefined;
export type RecordingReader = {
  header: RecordingHeader;
  /** The lines that can be read, in order; each bad one goes to `onBad` and is skipped. */
  lines(
    onBad: (bad: BadLine) => void,
    pause?: Pause,
    /** Takes the photos of pizzas. @throws Fault where it is none */
    onPhoto?: (photo: PhotoLine) => void,
  ): AsyncGenerator<RecordingLine>;
};

/**
 * Reads a recording line by line, so that memory does not grow with its length.
 * @param text the lines, the header first
 * @throws Fault `invalid` when the first line is not a header that this version reads
 */
export async function readRecording(text: AsyncIterator<string>): Promise<RecordingReader> {
  const first = await text.next();
  const header = readHeader(first.done ? '' : first.value);
  async function* lines(
    onBad: (bad: BadLine) => void,
    pause: Pause = () => undefined,
    onPhoto: (photo: PhotoLine) => void = () => {},
  ): AsyncGenerator<RecordingLine> {
    let last = 0;
    for (let number = 2; ; number++) {
      const next = await text.next();
      if (next.done) return;
      await pause();
      if (next.value.trim() === '') continue;
      const bad = (why: string): void => onBad({ number, why });
      if (isPhotoLine(next.value)) {
        unless(bad, () => onPhoto(readPhotoLine(next.value)));
        continue;
      }
      const line = read(next.value, last, bad);
      if (!line) continue;
      last = line.t;
      yield line;
    }
  }
  return { header, lines };
}

function read(text: string, last: number, bad: (why: string) => void): RecordingLine | null {
  return unless(bad, () => {
    const line = readLine(text);
    if (line.t < last) throw new Fault('invalid', `its time runs back from ${last} s to ${line.t} s`);
    return line;
  });
}

/** Does it; what is wrong with a line is said and no more. */
function unless<T>(bad: (why: string) => void, work: () => T): T | null {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    bad(error.message);
    return null;
  }
}

/**
 * @param path a file, or `-` for what is piped in
 * @throws Fault `not-found` when there is no such file, `invalid` as `readRecording` says
 */
export async function openRecording(path: string): Promise<RecordingReader> {
  if (path === '-') return readRecording(linesOf(process.stdin));
  const stream = createReadStream(path, { encoding: 'utf8' });
  await new Promise<void>((resolve, reject) => {
    stream.once('open', () => resolve());
    stream.once('error', (error) =>
      reject(
        new Fault('not-found', `The recording ${path} can't be read (${error.message}): check its name.`),
      ),
    );
  });
  try {
    return await readRecording(linesOf(stream));
  } catch (error) {
    stream.destroy();
    throw error instanceof Fault
      ? new Fault(error.code, `${path} can't be played: ${error.message}.`)
      : error;
  }
}
