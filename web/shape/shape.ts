/**
 * A JSON Schema without its bounds and patterns, written small: what the page holds messages against, made at the build from
 * the schemas of `shared/` (`web/shape/shapes.mjs`). A text is a type of `typeof`, or `null`; an object has these members, those
 * that may be absent with a `?` behind their name, and others besides.
 */
export type Shape =
  | string
  | { [member: string]: Shape }
  | ['any of', ...Shape[]]
  | ['list of', Shape]
  | ['members', Shape]
  | ['row', ...Shape[]]
  | ['one of', ...(string | number | boolean | null)[]];

/** Whether a value that was parsed from JSON has the shape. */
export function hasShape(value: unknown, shape: Shape): boolean {
  if (typeof shape === 'string') return shape === 'null' ? value === null : typeof value === shape;
  if (!Array.isArray(shape)) return isObject(value) && hasMembers(value, shape);
  switch (shape[0]) {
    case 'any of':
      return shape.slice(1).some((each) => hasShape(value, each));
    case 'list of':
      return Array.isArray(value) && value.every((each) => hasShape(each, shape[1]));
    case 'members':
      return isObject(value) && Object.values(value).every((each) => hasShape(each, shape[1]));
    case 'row': {
      const row = shape.slice(1);
      return (
        Array.isArray(value) &&
        value.length === row.length &&
        row.every((each, i) => hasShape(value[i], each))
      );
    }
    case 'one of':
      return (shape.slice(1) as unknown[]).includes(value);
  }
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const hasMembers = (value: Record<string, unknown>, members: { [member: string]: Shape }): boolean =>
  Object.entries(members).every(([name, shape]) => {
    const member = value[name.replace('?', '')];
    return member === undefined ? name.endsWith('?') : hasShape(member, shape);
  });
