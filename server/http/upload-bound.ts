import { Transform } from 'node:stream';
import { Fault } from '../../shared/fault.ts';

/** A whole cook of a day with raw frames is some 100 MB. */
const MAX_FILE_BYTES = 512 * 1024 * 1024;
/** The header of a recording is the longest line. */
const MAX_LINE_BYTES = 1024 * 1024;

const NEWLINE = 10;

/** Hands text on and breaks off with a Fault `too-large` where the file or one line of it is beyond what a cook can be. */
export function bounded(mostFile = MAX_FILE_BYTES, mostLine = MAX_LINE_BYTES): Transform {
  let file = 0;
  let line = 0;
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      file += chunk.length;
      const last = chunk.lastIndexOf(NEWLINE);
      const longest = Math.max(line + firstLine(chunk), longestIn(chunk));
      line = last === -1 ? line + chunk.length : chunk.length - 1 - last;
      if (file > mostFile)
        return done(new Fault('too-large', `The file is larger than ${mostFile} bytes: it is no cook.`));
      if (longest > mostLine)
        return done(new Fault('too-large', `A line is longer than ${mostLine} bytes: this is no recording.`));
      done(null, chunk);
    },
  });
}

const firstLine = (chunk: Buffer): number => {
  const end = chunk.indexOf(NEWLINE);
  return end === -1 ? chunk.length : end;
};

function longestIn(chunk: Buffer): number {
  let longest = 0;
  for (let from = 0; from < chunk.length;) {
    const end = chunk.indexOf(NEWLINE, from);
    const to = end === -1 ? chunk.length : end;
    longest = Math.max(longest, to - from);
    from = to + 1;
  }
  return longest;
}
