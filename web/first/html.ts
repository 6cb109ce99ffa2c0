import type { ComponentChildren, VNode } from 'preact';

const ESCAPES: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
const escape = (text: string): string => text.replace(/[&<>"]/g, (sign) => ESCAPES[sign] ?? sign);

const VOID = new Set(['path', 'input', 'br', 'img']);

/** Handlers and styles are none: they come with the script. */
function attribute([name, value]: [string, unknown]): string {
  if (name === 'children') return '';
  if (typeof value === 'boolean' && !name.startsWith('aria-')) return value ? ` ${name}` : '';
  const isText = typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean';
  return isText ? ` ${name}="${escape(String(value))}"` : '';
}

/** Components of plain functions as HTML: none of hooks, none with a style of its own. Pure where they are. */
export function htmlOf(node: ComponentChildren): string {
  if (node == null || typeof node === 'boolean') return '';
  if (Array.isArray(node)) return node.map(htmlOf).join('');
  if (typeof node !== 'object') return escape(String(node));
  const { type, props } = node as VNode<{ children?: ComponentChildren }>;
  // Components of the first screen have no state, so that they are but functions of their properties.
  if (typeof type === 'function') return htmlOf((type as (of: typeof props) => ComponentChildren)(props));
  const tag = `<${type}${Object.entries(props).map(attribute).join('')}>`;
  return VOID.has(type) ? tag.replace(/>$/, '/>') : `${tag}${htmlOf(props.children)}</${type}>`;
}
