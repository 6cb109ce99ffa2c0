import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, it } from 'vitest';
import { printed } from '../../server/command/analyse.ts';
import { createCore } from '../../server/core/core.ts';
import { bundledRecording } from '../support/session.ts';
import { digest, expectFrozen } from './frozen.ts';

const names = readdirSync(fileURLToPath(new URL('../../fixtures', import.meta.url)))
  .filter((file) => file.endsWith('.jsonl'))
  .map((file) => file.replace('.jsonl', ''));

/** These are many: each is in the digest, and one in so many is there to read. */
const MANY: Record<string, number> = { forecast: 20, advice: 5 };

/** What `peelside analyse` prints, shortened: how many lines of a type, a digest of them, and the lines that tell most. */
function summaryOf(text: string): string {
  const lines = text.split('\n').filter(Boolean);
  const byType: Record<string, string[]> = {};
  const shown = lines.filter((line) => {
    const { type } = JSON.parse(line);
    const before = (byType[type] ??= []);
    before.push(line);
    return (before.length - 1) % (MANY[type] ?? 1) === 0;
  });
  const counted = Object.entries(byType).map(
    ([type, of]) => `${type} ${of.length} ${digest(of.join('\n'))}\n`,
  );
  return `${counted.sort().join('')}\n${shown.join('\n')}\n`;
}

describe('what analyse prints', () => {
  it.each(names)('given the recording %s, is what it was', (name) => {
    const { header, lines } = bundledRecording(name);
    const core = createCore(header);
    let text = '';
    for (const line of lines) for (const output of core.line(line).outputs) text += printed(output, null);
    expectFrozen(`analyse-${name}`, summaryOf(text));
  });
});
