import type { InPieces } from '../../shared/work/in-pieces.ts';

/** Work of one kind holds up everything else for no longer than this, ms. */
const MAX_SLICE_MS = 8;

/** Characters of pieces that go out together. */
const CHUNK_CHARACTERS = 16_384;

/** The pieces of a long text, some together, with breaths between them. */
export async function* breathing(pieces: Iterable<string>): AsyncGenerator<string> {
  const breathe = createBreath();
  let held = '';
  for (const piece of pieces) {
    held += piece;
    if (held.length >= CHUNK_CHARACTERS) {
      yield held;
      held = '';
    }
    await breathe();
  }
  if (held !== '') yield held;
}

/** Does all the pieces, with breaths between. */
export async function withBreaths<T>(work: InPieces<T>): Promise<T> {
  const breathe = createBreath();
  let piece = work.next();
  while (!piece.done) {
    await breathe();
    piece = work.next();
  }
  return piece.value;
}

/** Works that wait, the longest waiting first, each with the turns that it had. */
const waiting: { turns: number; resume: () => void }[] = [];
let isShortFirst = false;

/**
 * In each turn of the event loop one of all goes on, however many there are: by turns that which waits longest, so that
 * all come to their end, and that which had the fewest turns, so that a list of cooks opens among exports that take minutes.
 */
function next(): void {
  isShortFirst = !isShortFirst;
  let place = 0;
  if (isShortFirst)
    waiting.forEach(({ turns }, i) => {
      if (turns < (waiting[place]?.turns ?? 0)) place = i;
    });
  const [work] = waiting.splice(place, 1);
  work?.resume();
  if (waiting.length > 0) setImmediate(next);
}

/**
 * Lets the event loop turn during long work, by the time that has gone by, since a line or row may cost anything.
 * @returns to be awaited after each small piece; it costs next to nothing until it is time
 */
export function createBreath(longest = MAX_SLICE_MS): () => Promise<void> | undefined {
  let since = performance.now();
  let turns = 0;
  return () => {
    if (performance.now() - since < longest) return undefined;
    return new Promise((resolve) => {
      if (waiting.length === 0) setImmediate(next);
      const resume = (): void => {
        since = performance.now();
        resolve();
      };
      waiting.push({ turns: turns++, resume });
    });
  };
}
