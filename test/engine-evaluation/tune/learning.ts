import type { GrillPrior } from '../../../shared/engine.ts';
import { createCore } from '../../../server/core/core.ts';
import { caseOf, type Case } from '../case-bank.ts';
import { sameGrill } from '../varied/cooks.ts';

const COOKS = 4;
const ASKED = { from: 30, to: 3 };
/** What the answer to "never" costs, s: as much as being wrong by so much. */
const NONE = 900;

type Cook = Case & { entersAt: number | null };

/** When the stone enters its band for a minute at least, s. */
function entersAt({ truth }: Case): number | null {
  const { stone } = truth;
  const [low] = truth.stoneBand;
  const t = stone.findIndex(
    (_, i) => i + 60 <= stone.length && stone.slice(i, i + 60).every((v) => v >= low),
  );
  return t < 0 ? null : t;
}

/** Errors of the moment at which the stone enters its band, asked each minute from half an hour before, s. */
function errorsOf(cook: Cook, prior: GrillPrior | null): { errors: number[]; learned: GrillPrior | null } {
  const core = createCore({ ...cook.header, grill: prior });
  const forecasts: { t: number; at: number | null }[] = [];
  for (const line of cook.lines)
    for (const output of core.line(line).outputs)
      if (output.type === 'forecast') forecasts.push({ t: output.t, at: output.bandAt });
  const errors: number[] = [];
  for (let m = ASKED.from; m >= ASKED.to && cook.entersAt !== null; m--) {
    const asked = cook.entersAt - 60 * m;
    if (asked < 300) continue;
    const at = forecasts.findLast(({ t }) => t <= asked && t > asked - 60)?.at ?? null;
    errors.push(at === null ? NONE : Math.min(NONE, Math.abs(at - cook.entersAt)));
  }
  return { errors, learned: core.learned() };
}

/**
 * Mean error of when the stone enters its band, s, where earlier cooks of the grill taught, over `count` grills whose dome
 * is held by a patient hand.
 */
export function learningOf(count: number): () => number {
  const grills = Array.from({ length: count }, (_, i) =>
    sameGrill('tune', i, COOKS, true).map((plan): Cook => {
      const bankCase = caseOf(plan);
      return { ...bankCase, entersAt: entersAt(bankCase) };
    }),
  );
  return () => {
    const errors: number[] = [];
    for (const cooks of grills) {
      let prior: GrillPrior | null = null;
      for (const [i, cook] of cooks.entries()) {
        const found = errorsOf(cook, prior);
        if (i > 0) errors.push(...found.errors);
        prior = found.learned ?? prior;
      }
    }
    return errors.reduce((sum, e) => sum + e, 0) / Math.max(1, errors.length);
  };
}
