import { once } from 'node:events';
import type { RecordingHeader } from '../../shared/recording.ts';
import { openStore } from '../../server/store/sqlite.ts';
import { call, scratch, startServer } from '../support/server.ts';
import { median, type Bench } from './bench.ts';

const HOURS = 8;
const ROUNDS = 3;

/** A cook of two channels at 1 Hz that is still on, as a killed server leaves it. */
async function longCook(): Promise<string> {
  const folder = scratch();
  const store = openStore(folder);
  const startedAt = Date.now() - HOURS * 3600_000;
  const header: RecordingHeader = {
    recording: 1,
    startedAt: new Date(startedAt).toISOString(),
    channels: [
      { id: 'stone', role: 'stone' },
      { id: 'dome', role: 'dome' },
    ],
    targets: {},
    probes: [],
  };
  const id = store.startCook({ name: 'Long', startedAt, rehearsal: false, header });
  for (let t = 0; t < HOURS * 3600; t++) {
    const stone = 20 + 250 * (1 - Math.exp(-t / 1500)) + (((t * 7919) % 13) / 13 - 0.5);
    for (const [channel, celsius] of [
      ['stone', stone],
      ['dome', stone + 5],
    ] as const) {
      const rounded = Number(celsius.toFixed(1));
      store.addLine(id, { t, source: 'http', channel, celsius: rounded });
      store.addReading(id, { t, at: startedAt + t * 1000, channel, celsius: rounded, quality: 'good' });
    }
    if (t % 5000 === 0) await store.kept();
  }
  store.close();
  return folder;
}

/** From spawn to the printed address, ms. */
async function startMs(data: string, wanted: (cook: unknown) => boolean): Promise<number> {
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const began = performance.now();
    const server = await startServer([], data);
    times.push(performance.now() - began);
    const { body } = await call(server.url, 'GET', '/api/now');
    if (!wanted(body['cook'])) throw new Error('the cook is not the one that was left');
    const gone = once(server.process, 'exit');
    server.process.kill('SIGKILL');
    await gone;
  }
  return median(times);
}

export const recoverBench: Bench = {
  name: 'recover',
  async run() {
    return [
      {
        name: 'start to serving, nothing kept yet',
        value: await startMs(scratch(), (cook) => cook === null),
        unit: 'ms',
        budget: { most: 600 },
      },
      {
        name: `restart after kill -9 in hour ${HOURS} of 2 channels at 1 Hz, to serving`,
        value: await startMs(await longCook(), (cook) => cook !== null),
        unit: 'ms',
        budget: { most: 2000 },
      },
    ];
  },
};
