/** Writes the recordings of fixtures/ again: `npm run fixtures`. A test shows that they come out byte for byte. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { EVENINGS } from './fixture/evenings.ts';
import { recordingOf } from './fixture/recording.ts';

for (const evening of EVENINGS) {
  const text = recordingOf(evening);
  writeFileSync(join('fixtures', evening.file), text);
  console.log(`fixtures/${evening.file}: ${Math.round(text.length / 1000)} kB`);
}
