import type { GrillPrior } from '../../shared/engine.ts';

/** Shape of `values` below; a prior of another version is not read. */
export const VERSION = 1;

/** What a cook teaches the next. τ s; offset, fall °C; lag s. */
const NAMES = ['tau', 'offset', 'fall', 'readyAfter'] as const;
export type Lesson = Partial<Record<(typeof NAMES)[number], number>>;

export function valueOf(prior: GrillPrior | null, name: (typeof NAMES)[number], otherwise: number): number {
  const value = prior?.version === VERSION ? prior.values[name] : undefined;
  return value !== undefined && Number.isFinite(value) ? value : otherwise;
}

/** Folds a cook's lesson into what earlier ones taught: a mean, the newest counting at least a fifth. */
export function fold(prior: GrillPrior | null, lesson: Lesson): GrillPrior {
  const before = prior?.version === VERSION ? prior : { version: VERSION, cooks: 0, values: {} };
  const cooks = before.cooks + 1;
  const values: Record<string, number> = { ...before.values };
  for (const name of NAMES) {
    const now = lesson[name];
    if (now === undefined || !Number.isFinite(now)) continue;
    const was = values[name];
    values[name] = was === undefined ? now : was + (now - was) / Math.min(5, cooks);
  }
  return { version: VERSION, cooks, values };
}
