import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { scratch } from './server.ts';

/**
 * A recording of a stone and a dome held steady for half an hour, °C, with what else happens. @returns the
 * file
 */
export function steadyRecording(
  stone: number,
  dome: number,
  events: readonly ({ t: number; event: string } & Record<string, unknown>)[] = [],
): string {
  const header = {
    recording: 1,
    startedAt: '2026-05-02T16:00:00.000Z',
    channels: [
      { id: 'stone', role: 'stone', name: 'Stone' },
      { id: 'dome', role: 'dome', name: 'Dome' },
    ],
    targets: { stone: [255, 285], dome: [235, 275], domeLimit: 370 },
  };
  const readings = Array.from({ length: 600 }, (_, i) => [
    { t: i * 3, channel: 'stone', celsius: stone + (i % 3) * 0.1 },
    { t: i * 3, channel: 'dome', celsius: dome + (i % 5) * 0.2 },
  ]).flat();
  const lines = [...readings, ...events].sort((a, b) => a.t - b.t);
  const file = join(scratch(), 'steady.jsonl');
  writeFileSync(file, [header, ...lines].map((line) => JSON.stringify(line)).join('\n'));
  return file;
}
