import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fixture, scratch } from '../server.ts';

/** From here on the stone is held steady, s: just before the recording's own first launch. */
const HELD_FROM = 2430;
/** Long enough for a slow machine that plays fast, s. */
const HELD_FOR = 4 * 3600;
/** What the test taps by itself. */
const TAPS = /"event":"(launch|turn|off|lid-open|lid-closed|bake-times|vent|acknowledge)"/;

/** The climb of the bundled evening, then a fire held steady: what happens at the grill is tapped on the page by the test. @returns the file */
export function heldEvening(): string {
  const [header = '', ...lines] = readFileSync(fixture('good-evening'), 'utf8').trim().split('\n');
  const climb = lines.filter(
    (line) => !TAPS.test(line) && (JSON.parse(line) as { t: number }).t < HELD_FROM, // our own fixture's
  );
  const held = Array.from({ length: HELD_FOR / 3 }, (_, i) => {
    const t = HELD_FROM + i * 3;
    return [
      JSON.stringify({ t, channel: 'stone', celsius: 273 + (i % 3) * 0.1 }),
      JSON.stringify({ t, channel: 'dome', celsius: 258 + (i % 5) * 0.2 }),
    ];
  }).flat();
  const file = join(scratch(), 'good-evening.jsonl');
  writeFileSync(file, [header, ...climb, ...held].join('\n'));
  return file;
}
