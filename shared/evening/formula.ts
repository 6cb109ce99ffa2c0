import { z } from 'zod';
import { from } from './dough.ts';
import { fractions, planInput } from './evening.ts';

/** Doughs and sauces that a household keeps under a name, version by version. */

const doughFormula = z.object({
  kind: z.literal('dough'),
  id: z.string().min(1).max(64),
  /** Counts up with every change; a cook names the version it used. */
  version: z.number().int().min(1),
  name: z.string().min(1).max(80),
  ...fractions,
  bulkHours: planInput.shape.bulkHours,
  coldHours: planInput.shape.coldHours,
  coldAs: planInput.shape.coldAs,
  ballHours: planInput.shape.ballHours,
  kneadMinutes: planInput.shape.kneadMinutes.unwrap().optional(),
  doughC: planInput.shape.doughC,
  ballGrams: from('the ball', 80, 800, 'g'),
  note: z.string().max(2000).default(''),
  origin: z.string().max(400).default(''),
});
export type DoughFormula = z.infer<typeof doughFormula>;

/** What of a plan a dough decides; the size of its balls is the pizzas', not the dough's. */
export function doughParts(formula: DoughFormula) {
  const {
    kind: _,
    id: _id,
    version: _version,
    name: _name,
    note: _note,
    origin: _origin,
    ...parts
  } = formula;
  const { ballGrams: _ballGrams, kneadMinutes, ...dough } = parts;
  return { ...dough, restMinutes: undefined, ...(kneadMinutes !== undefined && { kneadMinutes }) };
}

/** A sauce: grams of each thing for one pizza. */
export const sauceFormula = z.object({
  kind: z.literal('sauce'),
  id: z.string().min(1).max(64),
  version: z.number().int().min(1),
  name: z.string().min(1).max(80),
  parts: z
    .array(z.object({ name: z.string().min(1).max(80), gramsPerPizza: from('a part', 0.01, 500, 'g') }))
    .min(1)
    .max(40),
  note: z.string().max(2000).default(''),
  origin: z.string().max(400).default(''),
});
export type SauceFormula = z.infer<typeof sauceFormula>;
export const formula = z.discriminatedUnion('kind', [doughFormula, sauceFormula]);
export type Formula = z.infer<typeof formula>;
