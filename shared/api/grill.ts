import { z } from 'zod';

/** Grills and stones by name, each with what its own cooks taught. */

const name = z.string().trim().min(1).max(40);
const known = z.object({ value: z.number(), error: z.number() });

/** Of which grill the cooks are; forgetting what one was taught; what a cook was that fits not its grill. */
export const grillAct = z.discriminatedUnion('do', [
  z.object({ do: z.literal('choose'), name }),
  z.object({ do: z.literal('add'), name }),
  z.object({ do: z.literal('forget'), name }),
  z.object({ do: z.literal('remove'), name }),
  z.object({
    do: z.literal('settle'),
    name,
    /** The cook that was set aside. */
    cook: z.number().int(),
    /** The grill is another one since (it starts anew from that cook); or that cook says nothing of it. */
    as: z.enum(['changed', 'odd']),
  }),
]);
export type GrillAct = z.infer<typeof grillAct>;

export const grillList = z.object({
  current: z.string(),
  grills: z.array(
    z.object({
      name: z.string(),
      /** Null before a cook taught anything. Minutes and °C, each with one standard error. */
      known: z
        .object({
          cooks: z.number(),
          domeMinutes: z.number(),
          ready: known,
          lag: known,
          offset: known,
          bites: known,
          holds: z.array(z.object({ below: z.number(), dome: known, cooks: z.number() })),
        })
        .nullable(),
      /** Cooks that taught it: °C outside and minutes until the stone was in its band, where these are known. */
      cooks: z.array(
        z.object({ startedAt: z.string(), outside: z.number().nullable(), minutes: z.number().nullable() }),
      ),
      /** Cooks that fit not what the others taught: another stone, or a probe was moved. */
      aside: z.array(z.object({ cook: z.number(), startedAt: z.string() })),
    }),
  ),
});
export type GrillList = z.infer<typeof grillList>;
