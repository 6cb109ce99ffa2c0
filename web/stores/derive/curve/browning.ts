import type { Pizza } from '../../../../shared/evening/pizza.ts';
import type { Verdict } from '../../../../shared/words.ts';

/** How brown a pizza's mark is: the share of its time that it had, corrected once it was judged. Pure. */

const BROWNING_BY_VERDICT: Record<Verdict, number> = { pale: 0.5, right: 1, scorched: 1.5 };

type Baking = Pick<Pizza, 'launchedAt' | 'offAt' | 'offAfter' | 'base' | 'top'>;

/** Null where it was not launched; 0 raw, 1 as wanted, above that too dark. @param t seconds of the cook */
export function browningOf({ launchedAt, offAt, offAfter, base, top }: Baking, t: number): number | null {
  if (launchedAt === null) return null;
  const judged = [base, top].flatMap((verdict) => (verdict === null ? [] : [BROWNING_BY_VERDICT[verdict]]));
  if (judged.length > 0) return judged.reduce((sum, each) => sum + each, 0) / judged.length;
  const share = Math.max(0, (offAt ?? t) - launchedAt) / offAfter;
  return Math.min(1.5, Math.round(share * 20) / 20);
}
