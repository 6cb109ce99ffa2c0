import { z } from 'zod';

/** The user's own MQTT broker: topics of it as probes, and what is published to it. */

export const address = (protocols: readonly string[], example: string) =>
  z
    .string()
    .max(2000)
    .refine((text) => {
      const url = URL.canParse(text) ? new URL(text) : null;
      return (
        url !== null &&
        protocols.includes(url.protocol) &&
        url.hostname !== '' &&
        url.username === '' &&
        url.password === ''
      );
    }, `an address like ${example}, without a name and password in it`);

/** MQTT 5.0, 1.5.4: no text has U+0000 or half of a surrogate pair in it. */
const TEXT = /^[^\0\p{Surrogate}]*$/u;

/** MQTT 5.0, 4.7.1: a topic's name, which has no wildcards. */
export const topicName = z
  .string()
  .min(1)
  .max(200)
  .regex(/^[^#+\0\p{Surrogate}]+$/u, 'a topic without # and +');

/** A topic or, with `+` for one level and `#` for all below, many. */
export const topicFilter = z
  .string()
  .min(1)
  .max(200)
  .refine((text) => {
    const levels = text.split('/');
    return levels.every(
      (level, i) =>
        level === '+' || (level === '#' && i === levels.length - 1) || /^[^#+\0\p{Surrogate}]*$/u.test(level),
    );
  }, 'a topic; + stands for one level of it, # at its end for all below');

export const brokerAccess = z.object({
  url: address(['mqtt:', 'mqtts:'], 'mqtt://broker.local:1883'),
  /** MQTT 3.1.1 or 5. */
  version: z.enum(['3.1.1', '5']).default('5'),
  username: z.string().max(200).regex(TEXT, 'a name').optional(),
  /** Where it is left out, the one that is kept stays. */
  password: z.string().max(200).regex(TEXT, 'a password').optional(),
  /** Certificate of the authority that vouches for a broker of the user's own (`mqtts:`), PEM; left out, it stays. */
  ca: z
    .string()
    .max(20_000)
    .refine(
      (text) => text.trim().startsWith('-----BEGIN CERTIFICATE-----'),
      'a certificate as text, from -----BEGIN CERTIFICATE----- on',
    )
    .optional(),
});
export type BrokerAccess = z.output<typeof brokerAccess>;

/** Below which topic this peelside publishes; each of several on one broker needs one of its own. */
export const publishing = z.object({
  prefix: topicName
    .max(120)
    // MQTT 5.0, 4.7.2.
    .refine((text) => !text.startsWith('$'), 'a topic that does not begin with $, which is for brokers')
    .default('peelside'),
});

export const brokerSetting = z.object({
  access: brokerAccess.nullable().default(null),
  publish: publishing.nullable().default(null),
});
export type BrokerSetting = z.output<typeof brokerSetting>;

/** Null takes the broker away or ends the publishing; what is not named stays. */
export const patchBroker = z
  .object({ access: brokerAccess.nullable(), publish: publishing.nullable() })
  .partial();
export type PatchBroker = z.input<typeof patchBroker>;

/** What is set, without anything secret: of an address only where it leads. */
export const brokerView = z.object({
  access: z.object({ origin: z.string(), version: z.string(), username: z.string().nullable() }).nullable(),
  /** `error`: why publishing fails. */
  publish: publishing.extend({ error: z.string().nullable() }).nullable(),
});
export type BrokerView = z.output<typeof brokerView>;
