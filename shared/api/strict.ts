import { z } from 'zod';

type Def = z.core.$ZodTypeDef & Record<string, unknown>;
type Schema = z.ZodType;
const mapped = (members: Record<string, Schema>): Record<string, Schema> =>
  Object.fromEntries(Object.entries(members).map(([name, member]) => [name, strict(member)]));

/** By type, the parts of a definition that are schemas. */
const SCHEMAS: Record<string, readonly string[]> = {
  array: ['element'],
  record: ['valueType'],
  pipe: ['in', 'out'],
  optional: ['innerType'],
  nullable: ['innerType'],
  default: ['innerType'],
  prefault: ['innerType'],
  nonoptional: ['innerType'],
  readonly: ['innerType'],
  catch: ['innerType'],
};
const LISTS: Record<string, string> = { union: 'options', tuple: 'items' };

/** What of a definition holds other schemas, made strict. The names are zod's. */
function inner(def: Def): Record<string, unknown> {
  if (def.type === 'object')
    // What takes any further member does so on purpose.
    return { shape: mapped(def['shape'] as Record<string, Schema>), catchall: def['catchall'] ?? z.never() };
  const list = LISTS[def.type];
  if (list !== undefined) return { [list]: (def[list] as Schema[]).map(strict) };
  return Object.fromEntries((SCHEMAS[def.type] ?? []).map((name) => [name, strict(def[name] as Schema)]));
}

/**
 * The same schema, but at every depth a member that it does not know is an issue, where it would be left out
 * without a word: what it was to say would be lost. An object that says itself what becomes of further members
 * (`catchall`, `looseObject`) stays as it is.
 */
export function strict<T extends Schema>(schema: T): T {
  const def = schema._zod.def as Def; // each definition is an object of named parts
  const parts = inner(def);
  return Object.keys(parts).length === 0 ? schema : schema.clone({ ...def, ...parts });
}
