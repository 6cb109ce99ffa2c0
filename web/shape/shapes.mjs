// The shapes that the page holds messages against, from the schemas of shared/: the page itself goes without the library.
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Bounds and patterns are the server's to hold; the page asks only for what it reads. */
const LEFT_OUT = new Set(
  '$schema minimum maximum exclusiveMinimum minItems maxItems minLength maxLength format pattern default propertyNames'.split(
    ' ',
  ),
);
const TYPES = { integer: 'number' };

/** A JSON Schema as a shape of web/shape/shape.ts. @throws Error where it says something that a shape has no word for */
export function shapeOf({ type, properties, items, prefixItems, anyOf, oneOf, enum: values, ...rest }) {
  const { additionalProperties: others, required = [], ...more } = rest;
  const { const: only, ...unknown } = more;
  const strange = Object.keys(unknown).filter((key) => !LEFT_OUT.has(key));
  if (strange.length > 0) throw new Error(`A shape has no word for ${strange.join(', ')}.`);
  if (only !== undefined) return ['one of', only];
  if (values) return ['one of', ...values];
  const choices = anyOf ?? oneOf;
  if (choices) return ['any of', ...choices.map(shapeOf)];
  if (Array.isArray(type)) return ['any of', ...type.map((each) => TYPES[each] ?? each)];
  if (prefixItems) return ['row', ...prefixItems.map(shapeOf)];
  if (type === 'array') return ['list of', shapeOf(items)];
  if (properties)
    return Object.fromEntries(
      Object.entries(properties).map(([name, schema]) => [
        required.includes(name) ? name : `${name}?`,
        shapeOf(schema),
      ]),
    );
  if (type === 'object') return ['members', shapeOf(others)];
  if (type === undefined) throw new Error('A shape has no word for what may be anything.');
  return TYPES[type] ?? type;
}

/** Gives `import { liveShape } from 'page:shapes'` to the page. */
export const shapes = (build) => ({
  name: 'shapes',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^page:shapes$/ }, ({ path }) => ({ path, namespace: 'shapes' }));
    onLoad({ filter: /./, namespace: 'shapes' }, async () => {
      const shape = shapeOf(await liveSchema(build));
      return { contents: `export const liveShape = ${JSON.stringify(shape)};` };
    });
  },
});

/** What `WS /api/live` sends, as JSON Schema. */
async function liveSchema(build) {
  const { outputFiles } = await build({
    stdin: {
      contents: `import { z } from 'zod';
        import { liveMessage } from './shared/api/live.ts';
        export const schema = z.toJSONSchema(liveMessage);`,
      resolveDir: root,
    },
    bundle: true,
    write: false,
    format: 'esm',
    platform: 'node',
    logLevel: 'warning',
  });
  const source = Buffer.from(outputFiles[0].contents).toString('base64');
  return (await import(`data:text/javascript;base64,${source}`)).schema;
}
