import { Fault } from '../../shared/fault.ts';

/** Characters; the header of a recording is the longest line. */
export const MAX_LINE = 1024 * 1024;

/**
 * The lines of a text that comes in pieces, cut anywhere, without the byte order mark that some editors put before it. An
 * error of the source ends it.
 * @throws Fault `too-large` where a line is longer than any of a recording
 */
export async function* linesOf(pieces: AsyncIterable<Uint8Array | string>): AsyncGenerator<string> {
  const decoder = new TextDecoder();
  let rest = '';
  for await (const piece of pieces) {
    const text = typeof piece === 'string' ? piece : decoder.decode(piece, { stream: true });
    rest += text;
    if (rest.length > MAX_LINE && !text.includes('\n')) throw tooLong();
    // What has no line end is not looked through again with each piece.
    if (!text.includes('\n')) continue;
    const lines = rest.split('\n');
    rest = lines.pop() ?? '';
    for (const line of lines) {
      if (line.length > MAX_LINE) throw tooLong();
      yield line.endsWith('\r') ? line.slice(0, -1) : line;
    }
  }
  if (rest !== '') yield rest;
}

const tooLong = (): Fault =>
  new Fault('too-large', `A line is longer than ${MAX_LINE} characters: this is no recording.`);
