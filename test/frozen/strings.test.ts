import { readFileSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseAst } from 'vitest/node';
import { describe, it } from 'vitest';
import { expectFrozen } from './frozen.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
type Node = { type: string; [member: string]: unknown };

const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string';

/** Members of JSX that name styles, shapes or hooks instead of speaking to somebody. */
const UNSPOKEN = /^(?:class|d|style|viewBox|data-.*|href|src|transform|points|key|id)$/;
/** Two words of a sentence, as no identifier, path, style or query has them. */
const SENTENCE = /\p{L}[\p{L}’',:;]* [\p{L}(“{]/u;
const STATEMENT =
  /^\s*(?:SELECT|INSERT|UPDATE|DELETE|CREATE|ALTER|DROP|PRAGMA|WITH|BEGIN|VACUUM|REINDEX|ATTACH)\b/;

/** What a node says in words, an inserted value as `{}`; null where it says nothing by itself. */
function textOf(node: Node): string | null {
  if (node.type === 'JSXText') return String(node['value']);
  if (node.type === 'Literal' && typeof node['value'] === 'string') return node['value'];
  if (node.type === 'TemplateLiteral')
    return (node['quasis'] as { value: { cooked: string } }[]).map(({ value }) => value.cooked).join('{}'); // ESTree
  return null;
}

const isShown = (node: Node, text: string): boolean =>
  node.type === 'JSXText' ? /\p{L}/u.test(text) : SENTENCE.test(text) && !STATEMENT.test(text);

function* stringsIn(value: unknown): Generator<string> {
  if (Array.isArray(value)) for (const each of value) yield* stringsIn(each);
  if (!isNode(value) || value.type.startsWith('Import')) return;
  if (value.type === 'JSXAttribute' && UNSPOKEN.test(String((value['name'] as Node)['name']))) return;
  const text = textOf(value);
  if (text !== null && isShown(value, text)) yield text.replaceAll(/\s+/g, ' ').trim();
  for (const member of Object.values(value)) if (typeof member === 'object') yield* stringsIn(member);
}

function listOf(folder: string): string {
  const files = readdirSync(`${root}${folder}`, { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.tsx?$/.test(file))
    .toSorted();
  const parts = files.map((file) => {
    const path = `${folder}/${file}`;
    const strings = [
      ...stringsIn(
        parseAst(readFileSync(`${root}${path}`, 'utf8'), { lang: file.endsWith('x') ? 'tsx' : 'ts' }),
      ),
    ];
    return strings.length === 0 ? '' : `${path}\n${strings.map((text) => `  ${text}\n`).join('')}`;
  });
  return parts.join('');
}

describe('the words that people read', () => {
  it.each(['shared', 'server', 'web'])(
    'given the sources of %s, are those that were read through',
    (folder) => {
      expectFrozen(`strings-${folder}`, listOf(folder));
    },
  );
});
