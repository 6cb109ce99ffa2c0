// The notice of what is bundled: which packages went into the built server and page, each with its licence text.
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';

/** "@scope/name" or "name" of the package that a bundled file belongs to; undefined for our own files. */
const packageOf = (input) =>
  /(?:^|\/)node_modules\/((?:@[^/]+\/)?[^/]+)\/(?!.*\/node_modules\/)/.exec(input)?.[1];

const folderOf = (input, name) =>
  input.slice(0, input.lastIndexOf(`node_modules/${name}/`)) + `node_modules/${name}`;

/**
 * @param {string} root folder that the inputs are relative to
 * @param {readonly { inputs: Record<string, unknown> }[]} metafiles of esbuild
 * @returns the notice as text, packages in order of their names
 * @throws Error where a bundled package brings no licence text
 */
export function thirdPartyNotice(root, metafiles) {
  const folders = new Map();
  for (const { inputs } of metafiles)
    for (const input of Object.keys(inputs)) {
      const name = packageOf(input);
      if (name) folders.set(folderOf(input, name), name);
    }
  const entries = [...folders]
    .sort(([, a], [, b]) => (a < b ? -1 : 1))
    .map(([folder, name]) => {
      const { version, license } = JSON.parse(readFileSync(join(root, folder, 'package.json'), 'utf8'));
      const file = readdirSync(join(root, folder)).find((each) =>
        /^(licen[cs]e|copying)(\.|-|$)/i.test(each),
      );
      const text = file ? readFileSync(join(root, folder, file), 'utf8').trim() : `Licence: ${license}`;
      return `${name} ${version} (${license})\n\n${text}`;
    });
  const typeface = `Figtree (OFL-1.1)\n\n${readFileSync(join(root, 'web', 'type', 'OFL.txt'), 'utf8').trim()}`;
  return ['peelside contains these packages, each under its own licence.', ...entries, typeface].join(
    `\n\n${'-'.repeat(80)}\n\n`,
  );
}
