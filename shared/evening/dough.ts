import { z } from 'zod';

/** Parts of a dough: preferment, stages, what is weighed of a little. Fractions are of the flour (1 = 100 %). */

/** A number within a range, refused in one sentence that names it. */
export const from = (what: string, low: number, high: number, unit = '') => {
  const message = `${what} is expected from ${low} to ${high}${unit && ` ${unit}`}`;
  return z.number({ error: message }).min(low, message).max(high, message);
};
/** A word of a list, refused in one sentence that names them. */
export const oneOf = <const T extends readonly [string, ...string[]]>(what: string, names: T) =>
  z.enum(names, { error: `${what} is one of ${names.join(', ')}` });

export const PREFERMENTS = ['poolish', 'biga', 'sourdough'] as const;
export type PrefermentKind = (typeof PREFERMENTS)[number];

/** A part of the flour that ferments before. What is absent is usual for its kind. */
export const preferment = z.object({
  kind: oneOf('the preferment', PREFERMENTS),
  /** Of all the flour. */
  flourShare: from('the flour in the preferment', 0.01, 0.8, 'as a fraction of the flour').optional(),
  hydration: from('the water in the preferment', 0.4, 1.5, 'as a fraction of its flour').optional(),
  /** How it is when it goes into the dough. */
  ripeness: oneOf('the ripeness of the preferment', ['young', 'ripe', 'past']).default('ripe'),
  hours: from('the time of the preferment', 1, 48, 'h').optional(),
  celsius: from('the place of the preferment', 0, 40, '°C').optional(),
});
export type Preferment = z.output<typeof preferment>;

/** A stretch of the dough's time, with its own temperature at both ends. */
export const doughStage = z.object({
  stage: z.enum(['bulk', 'cold', 'balls']),
  hours: z.number(),
  startC: z.number(),
  endC: z.number(),
});
export type DoughStage = z.infer<typeof doughStage>;

/** What of the dough's masses goes into the preferment, g. A sourdough's yeast is its own: 0. */
export const prefermentMasses = z.object({
  kind: z.enum(PREFERMENTS),
  flourGrams: z.number(),
  waterGrams: z.number(),
  yeastGrams: z.number(),
  totalGrams: z.number(),
  hours: z.number(),
  celsius: z.number(),
});
export type PrefermentMasses = z.infer<typeof prefermentMasses>;

/** Yeast too little to weigh: `yeastGrams` stirred into `waterGrams`, of which `takeGrams` go into the dough. */
export const yeastSolution = z.object({
  yeastGrams: z.number(),
  waterGrams: z.number(),
  takeGrams: z.number(),
});
export type YeastSolution = z.infer<typeof yeastSolution>;
