import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** All that the tests write lies in one folder, which goes when they have ended. */
export function setup(): () => void {
  const place = mkdtempSync(join(tmpdir(), 'peelside-tests-'));
  process.env['TMPDIR'] = place;
  return () => {
    try {
      rmSync(place, { recursive: true, force: true });
    } catch {
      // What a process that was killed still holds is the operating system's to remove.
    }
  };
}
