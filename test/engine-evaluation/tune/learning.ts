import { grillsOf, learning } from '../learn/learn.ts';

/** What the answer to "never" costs, s: as much as being wrong by so much. */
const NONE = 900;

/**
 * Mean error of when the stone enters its band, s, where earlier cooks of the grill taught, over `count` grills whose dome
 * is held by a patient hand.
 */
export function learningOf(count: number): () => number {
  const grills = grillsOf('tune', count, 'steady');
  return () => {
    let [sum, asked] = [0, 0];
    for (const { taught } of learning(grills, 'steady')) {
      const { errors } = taught.bandAt;
      for (const error of errors) sum += Math.min(NONE, error);
      sum += NONE * (taught.bandAt.asked - errors.length);
      asked += taught.bandAt.asked;
    }
    return sum / Math.max(1, asked);
  };
}
