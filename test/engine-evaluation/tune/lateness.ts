import { variedCases } from '../case-bank.ts';
import { engineLines } from '../engine-lines.ts';
import type { Looking } from '../looks.ts';
import { readyOnsets } from '../scoring/truth.ts';

/** The truth lies so often after an 80 % range. */
const LATER = 0.1;
const ASKED = { from: 20, to: 3 };

/** How far from one in ten it is, over the ways of seeing, that the first readiness comes later than its range said. */
export function latenessOf(ways: readonly (Looking | null)[], count: number): () => number {
  const banks = ways.map((looking) => [...variedCases('tune', count, looking)]);
  return () => {
    let sum = 0;
    for (const cases of banks) {
      let [asked, later] = [0, 0];
      for (const { truth, header, lines } of cases) {
        const [first] = readyOnsets(truth);
        if (first === undefined) continue;
        const forecasts = engineLines(header, lines).filter((line) => line.type === 'forecast');
        for (let m = ASKED.from; m >= ASKED.to; m--) {
          const at = first - 60 * m;
          const last = forecasts.findLast(({ t }) => t <= at && t > at - 60);
          if (at < 300 || !last?.readyBetween) continue;
          asked += 1;
          if (first > last.readyBetween[1]) later += 1;
        }
      }
      sum += Math.abs(later / Math.max(1, asked) - LATER);
    }
    return sum / banks.length;
  };
}
