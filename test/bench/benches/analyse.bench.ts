import { readLine } from '../../../server/core/read-line.ts';
import { createCore } from '../../../server/core/core.ts';
import type { RecordingHeader } from '../../../shared/recording.ts';
import { seconds, type Bench } from '../bench.ts';

const HOURS = 8;
const header: RecordingHeader = {
  recording: 1,
  startedAt: '2026-05-02T16:00:00.000Z',
  channels: [
    { id: 'stone', role: 'stone' },
    { id: 'dome', role: 'dome' },
    { id: 'firebox', role: 'other' },
    { id: 'room', role: 'other' },
  ],
  targets: { stone: [255, 285] },
  probes: [],
};

/** A cook with a stone that climbs, holds and dips, four channels at 1 Hz, as the lines of a recording. */
function lines(): string[] {
  const all: string[] = [];
  for (let t = 0; t < HOURS * 3600; t++) {
    const stone = 20 + 250 * (1 - Math.exp(-t / 1500)) - (t % 900 < 200 && t > 5000 ? 20 : 0);
    const noise = ((t * 7919) % 13) / 13 - 0.5;
    const at = [stone + noise, stone + 5 - noise, 400 + noise, 20 + noise];
    header.channels.forEach(({ id }, i) =>
      all.push(JSON.stringify({ t, channel: id, celsius: Number((at[i] ?? 0).toFixed(1)) })),
    );
  }
  return all;
}

export const analyseBench: Bench = {
  name: 'analyse',
  run() {
    const text = lines();
    const took = seconds(() => {
      const core = createCore(header);
      for (const line of text) core.line(readLine(line));
    }, 3);
    let parsed = 0;
    const bare = seconds(() => {
      for (const line of text) parsed += (JSON.parse(line) as { t: number }).t; // made above
    }, 3);
    if (parsed === 0) throw new Error('nothing was parsed');
    return [
      {
        name: 'analyse, a reading from text to engine, against JSON.parse alone',
        value: took / bare,
        unit: '×',
        budget: { most: 30 },
      },
      {
        name: `analyse, ${HOURS} h of 4 channels at 1 Hz`,
        value: (HOURS * 3600) / took,
        unit: '× real time',
      },
      { name: 'analyse, a reading from text to engine', value: (took / text.length) * 1e6, unit: 'µs' },
    ];
  },
};
