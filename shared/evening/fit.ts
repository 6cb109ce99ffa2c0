import { z } from 'zod';

/** A change with which an evening fits: another serving, or other hours of the dough. */
export const change = z.union([
  z.object({ text: z.string(), serveAt: z.iso.datetime() }),
  z.object({
    text: z.string(),
    dough: z.object({
      bulkHours: z.number(),
      coldHours: z.number(),
      ballHours: z.number(),
      /** Where the yeast was given: it is left to the hours now. */
      yeastFraction: z.null().optional(),
      /** Where there is no time for one that was asked for. */
      preferment: z.null().optional(),
    }),
    /** The kept formula that these are the hours of: taken as a whole it fits too. */
    formula: z.object({ id: z.string(), version: z.number() }).optional(),
  }),
]);
export type Change = z.infer<typeof change>;

/** Whether an evening can still be done as asked; where not, one sentence why and what can. */
export const fit = z.object({
  fits: z.boolean(),
  why: z.string().optional(),
  instead: z.array(change).optional(),
});
export type Fit = z.infer<typeof fit>;
