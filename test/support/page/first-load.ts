import { readFileSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** A script and all that it imports before it runs. */
function scripts(folder: string, name: string, found = new Set<string>()): Set<string> {
  if (found.has(name)) return found;
  found.add(name);
  const text = readFileSync(join(folder, name), 'utf8');
  for (const [, other] of text.matchAll(/(?:from|import)\s*"\.\/([\w-]+\.js)"/g))
    if (other) scripts(folder, other, found);
  return found;
}

/** What is fetched for the first screen of a built page: files, and their bytes as they go over the wire. */
export function firstLoad(folder: string): { names: string[]; bytes: number } {
  // The curve comes after the sentence, by `import()`, and is a part of the first screen all the same.
  const plot = readdirSync(folder).find((name) => /^plot-\w+\.js$/.test(name));
  if (plot === undefined) throw new Error('the built page has no plot');
  const names = [...scripts(folder, plot, scripts(folder, 'main.js')), 'main.css', 'first.js'];
  const bytes = names.reduce((sum, name) => sum + statSync(join(folder, `${name}.gz`)).size, 0);
  return { names, bytes };
}
