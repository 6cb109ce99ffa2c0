import fc from 'fast-check';
import { z } from 'zod';

type Json = {
  type?: string | string[];
  const?: unknown;
  enum?: unknown[];
  anyOf?: Json[];
  oneOf?: Json[];
  allOf?: Json[];
  properties?: Record<string, Json>;
  required?: string[];
  items?: Json;
  prefixItems?: Json[];
  minimum?: number;
  maximum?: number;
  maxLength?: number;
  format?: string;
};

/** What nobody sends: other types, depth, length, names that every object has, control and right-to-left characters. */
const wild: fc.Arbitrary<unknown> = fc.oneof(
  fc.constantFrom<unknown>(
    null,
    '',
    [],
    {},
    true,
    -1,
    0,
    1e13,
    -1e13,
    1e300,
    5e-324,
    '__proto__',
    'constructor',
  ),
  fc.constantFrom<unknown>(
    '\u0000',
    '\u202e',
    '=1+1',
    '../../etc/passwd',
    'x'.repeat(3000),
    '0001-01-01T00:00:00Z',
  ),
  fc.string({ unit: 'binary', maxLength: 60 }),
  fc.jsonValue({ maxDepth: 4 }),
  fc.nat(3000).map((depth) => {
    let deep: unknown = 1;
    for (let i = 0; i < depth; i++) deep = [deep];
    return deep;
  }),
);

function tame(schema: Json): fc.Arbitrary<unknown> {
  if ('const' in schema) return fc.constant(schema.const);
  if (schema.enum) return fc.constantFrom(...schema.enum);
  const choices = schema.anyOf ?? schema.oneOf;
  if (choices) return fc.oneof(...choices.map(arbitraryOf));
  if (schema.allOf)
    return fc.tuple(...schema.allOf.map(tame)).map((parts) => Object.assign({}, ...parts) as unknown);
  if (schema.prefixItems) return fc.tuple(...schema.prefixItems.map(arbitraryOf));
  const type = Array.isArray(schema.type) ? schema.type[0] : schema.type;
  const { minimum = -1e6, maximum = 1e6 } = schema;
  if (type === 'integer')
    return fc.integer({ min: Math.max(minimum, -(2 ** 31)), max: Math.min(maximum, 2 ** 31 - 1) });
  if (type === 'number') return fc.double({ min: minimum, max: maximum, noNaN: true });
  if (type === 'boolean') return fc.boolean();
  if (type === 'null') return fc.constant(null);
  if (type === 'array') return fc.array(arbitraryOf(schema.items ?? {}), { maxLength: 6 });
  if (type === 'string')
    return schema.format === 'date-time'
      ? fc
          .date({ min: new Date('2026-05-25'), max: new Date('2026-06-02'), noInvalidDate: true })
          .map((date) => date.toISOString())
      : fc.oneof(
          fc.constantFrom('stone', 'dome', 'p1', 'e1', 'good-evening', '1'),
          fc.string({ maxLength: Math.min(schema.maxLength ?? 20, 100) }),
        );
  if (type === 'object' || schema.properties) {
    const required = new Set(schema.required);
    const members = Object.entries(schema.properties ?? {});
    return fc.record(Object.fromEntries(members.map(([name, member]) => [name, arbitraryOf(member)])), {
      requiredKeys: members.map(([name]) => name).filter((name) => required.has(name)),
    });
  }
  return wild;
}

/** Mostly what a JSON schema describes, and now and then something wild in the place of any part of it. */
export function arbitraryOf(schema: Json): fc.Arbitrary<unknown> {
  return fc.oneof({ weight: 24, arbitrary: tame(schema) }, { weight: 1, arbitrary: wild });
}

export const arbitraryBy = (schema: z.ZodType): fc.Arbitrary<unknown> =>
  arbitraryOf(z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as Json); // of its dialect's members those above are read
