import { z } from 'zod';

/** What a device of the home network may do: see everything, or act as well. */
const RIGHTS = ['look', 'act'] as const;
export const right = z.enum(RIGHTS);
export type Right = z.infer<typeof right>;

/** Whether what was let in with `has` may do what needs `needs`. */
export const allows = (has: Right | null, needs: Right): boolean => has === 'act' || has === needs;

/** What the one who asks may do here. */
export const whoAsks = z.object({
  /** null: not let in yet. */
  right: right.nullable(),
  /** Id of the device; null on the server's own machine, which needs no letting in. */
  device: z.string().nullable(),
  /** Whether the server is open to the home network. */
  lan: z.boolean(),
});
export type WhoAsks = z.infer<typeof whoAsks>;

export const enter = z.object({
  /** Spaces and dashes do not count. */
  code: z.string().min(1).max(32),
  name: z.string().trim().min(1).max(80).default('A device'),
});
export const entered = z.object({ right, device: z.string() });

export const askCode = z.object({ right: right.default('act') });
export const code = z.object({ code: z.string(), right, seconds: z.number().int() });
export type CodeAnswer = z.infer<typeof code>;

export const device = z.object({
  id: z.string(),
  name: z.string(),
  right,
  enteredAt: z.iso.datetime(),
  seenAt: z.iso.datetime(),
  /** Whether it is the one who asks. */
  asking: z.boolean(),
});
export const deviceList = z.object({ devices: z.array(device) });
export type Device = z.infer<typeof device>;

/** How to trust this server's certificate. */
export const trust = z.object({
  /** Where a device of the home network finds the server, most usable first. */
  addresses: z.array(z.string()),
  /** SHA-256 of the local authority's certificate; null where the user brought a certificate, or there is no LAN. */
  fingerprint: z.string().nullable(),
});
export type Trust = z.infer<typeof trust>;
