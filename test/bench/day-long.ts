import type { RecordingHeader } from '../../shared/recording.ts';
import { openStore } from '../../server/store/sqlite.ts';
import { scratch } from '../support/server.ts';

export const CHANNELS = 8;
export const HOURS = 24;

/** A data folder with one cook of a whole day that is over, invented: 8 channels at 1 Hz, 691 200 readings. */
export async function dayLong(): Promise<string> {
  const folder = scratch();
  const store = openStore(folder);
  const startedAt = Date.parse('2026-05-02T06:00:00Z');
  const ids = Array.from({ length: CHANNELS }, (_, i) => ['stone', 'dome'][i] ?? `probe-${i}`);
  const header: RecordingHeader = {
    recording: 1,
    startedAt: new Date(startedAt).toISOString(),
    channels: ids.map((id, i) => ({ id, role: i === 0 ? 'stone' : i === 1 ? 'dome' : 'other' })),
    targets: {},
    probes: [],
  };
  const cook = store.startCook({ name: 'A day', startedAt, rehearsal: false, header });
  for (let t = 0; t < HOURS * 3600; t++) {
    ids.forEach((channel, i) => {
      const celsius = 200 + 60 * Math.sin(t / (900 + 70 * i)) + (((t * 7919) % 13) / 13 - 0.5);
      const rounded = Number(celsius.toFixed(1));
      store.addReading(cook, { t, at: startedAt + t * 1000, channel, celsius: rounded, quality: 'good' });
    });
    if (t % 2000 === 0) await store.persisted();
  }
  store.patchCook(cook, { endedAt: startedAt + HOURS * 3600_000 });
  await store.persisted();
  store.close();
  return folder;
}
