/** Long work in small pieces: whoever runs it may let others go between. */
export type InPieces<T> = Generator<void, T, void>;

/** Does all the pieces at once. */
export function atOnce<T>(work: InPieces<T>): T {
  let piece = work.next();
  while (!piece.done) piece = work.next();
  return piece.value;
}
