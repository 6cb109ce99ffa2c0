import { variedCases } from '../case-bank.ts';
import { engineLines } from '../engine-lines.ts';
import type { Looking } from '../looks.ts';
import { LOOKED_AT, scoreCook } from '../scoring/score.ts';

/** A false call is worth this share of a missed one: it costs a look. */
const FALSE = 1 / 3;

/** Missed and false readinesses of a stone that is only looked at, as a share of the true ones, the mean over the ways of looking. */
export function readinessOf(ways: readonly Looking[], count: number): () => number {
  const banks = ways.map((looking) => [...variedCases('tune', count, looking)]);
  return () => {
    let sum = 0;
    for (const cases of banks) {
      let [hit, missed, extra] = [0, 0, 0];
      for (const { truth, header, lines } of cases) {
        const { ready } = scoreCook(truth, engineLines(header, lines), LOOKED_AT);
        hit += ready.hit;
        missed += ready.missed;
        extra += ready.extra;
      }
      sum += (missed + FALSE * extra) / Math.max(1, hit + missed);
    }
    return sum / banks.length;
  };
}
