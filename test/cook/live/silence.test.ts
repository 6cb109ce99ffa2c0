import { expect, it } from 'vitest';
import { postSpot } from '../../../shared/api/api.ts';
import { openSession, type Bench } from '../../support/session.ts';

const AT = { stone: 262.5, dome: 255 };
const LOOK = postSpot.parse({ channel: 'stone', celsius: 250 });
const stoneOf = ({ session }: Bench) => session.now().channels.find(({ id }) => id === 'stone');

async function posted(bench: Bench, secondsAgo: number): Promise<void> {
  const at = new Date(bench.clock.wall() - secondsAgo * 1000).toISOString();
  await bench.ingest.postReadings([{ channel: 'stone', celsius: 260, at }]);
}

/** Stone and dome once a second. */
async function posting(bench: Bench): Promise<void> {
  for (let second = 0; second < 20; second++) {
    bench.clock.at += 1000;
    const readings = (['stone', 'dome'] as const).map((channel) => ({ channel, celsius: AT[channel] }));
    await bench.ingest.postReadings(readings);
    bench.session.advance();
  }
}

it.each<[string, (bench: Bench) => Promise<unknown>]>([
  ['a reading of yesterday', (bench) => posted(bench, 86_400)],
  ['a look with an infrared thermometer', (bench) => bench.ingest.postSpot(LOOK)],
  ['readings of a probe', posting],
])(
  'given %s, a pause, and a reading a second for 20 s, a silence of a minute is shown',
  async (_name, first) => {
    const bench = openSession();
    await first(bench);
    bench.clock.at += 3600_000;
    bench.session.advance();
    await posting(bench);
    expect(stoneOf(bench)?.stale).toBe(false);
    bench.clock.at += 60_000;
    bench.session.advance();
    expect(stoneOf(bench)).toMatchObject({ celsius: AT.stone, stale: true });
  },
);

it('given a board that posts every two minutes, one reading that is missing is no silence, and two are', async () => {
  const bench = openSession();
  for (let post = 0; post < 20; post++) {
    bench.clock.at += 120_000;
    await posted(bench, 0);
  }
  bench.clock.at += 240_000;
  bench.session.advance();
  expect(stoneOf(bench)?.stale).toBe(false);
  bench.clock.at += 130_000;
  bench.session.advance();
  expect(stoneOf(bench)?.stale).toBe(true);
});
