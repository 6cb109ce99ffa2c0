import { describe, expect, it } from 'vitest';
import { createRandom } from '../../simulator/random.ts';
import { call, scratch, startServer, until, type Server } from '../../support/server.ts';

/** Three in every run of the tests; `npm run test:nightly` takes two hundred. */
const KILLS = Number(process.env['SOAK_KILLS'] ?? 3);
/** The kill comes so long after each writer could have had an answer at most, ms. */
const LATEST_KILL = 250;
const WRITERS = 6;

type Stored = { readings: Set<string>; notes: Set<string> };

/** What a cook holds, by its own export. */
async function storedOf(url: string): Promise<Stored> {
  const text = (await call(url, 'GET', '/api/cooks/1/export')).body['text'] as string; // an export is text
  const lines = text
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => JSON.parse(line) as { celsius?: number; event?: string; note?: string });
  return {
    readings: new Set(lines.flatMap((line) => (line.celsius === undefined ? [] : [String(line.celsius)]))),
    notes: new Set(lines.flatMap((line) => (line.event === 'vent' ? [line.note ?? ''] : []))),
  };
}

type Standing = { alert: string; state: string; raisedAt: number };
const standing = (now: Record<string, unknown>): Standing[] => now['alerts'] as Standing[]; // as its schema says
const alertsOf = async (url: string): Promise<Standing[]> =>
  standing((await call(url, 'GET', '/api/now')).body);
function turnDue(now: Record<string, unknown>): Pick<Standing, 'state' | 'raisedAt'> | undefined {
  const found = standing(now).find((alert) => alert.alert === 'turn-due');
  return found && { state: found.state, raisedAt: found.raisedAt };
}
const stoneOf = (now: Record<string, unknown>): unknown =>
  (now['channels'] as { id: string }[]).find((channel) => channel.id === 'stone');

/** Writes without pause until the server is gone; each value and note is used once. */
async function write(url: string, next: () => number, done: Stored): Promise<void> {
  for (;;) {
    const n = next();
    const celsius = 200 + n / 1000;
    const posted = await call(url, 'POST', '/api/readings', {
      readings: [{ channel: 'stone', celsius }],
    }).catch(() => null);
    if (posted === null) return;
    if (posted.status === 202) done.readings.add(String(celsius));
    if (n % 5 !== 0) continue;
    const tapped = await call(url, 'POST', '/api/events', { event: 'vent', note: `n${n}` }).catch(() => null);
    if (tapped === null) return;
    if (tapped.status === 201) done.notes.add(`n${n}`);
  }
}

async function killInTheMiddle(
  server: Server,
  delay: number,
  next: () => number,
  done: Stored,
): Promise<void> {
  const [readings, notes] = [done.readings.size + WRITERS, done.notes.size];
  const writers = Array.from({ length: WRITERS }, () => write(server.url, next, done));
  while (done.readings.size < readings || done.notes.size === notes)
    await new Promise((resolve) => setTimeout(resolve, 2));
  await new Promise((resolve) => setTimeout(resolve, delay));
  await server.stop('SIGKILL');
  await Promise.all(writers);
}

describe(`kill -9 at ${KILLS} random moments of a cook under load`, () => {
  it('loses nothing that was acknowledged, and cook, pizzas, timers and alerts go on', async () => {
    const data = scratch();
    const random = createRandom(20260501);
    const done: Stored = { readings: new Set(), notes: new Set() };
    const restarts: number[] = [];
    let count = 0;
    const next = (): number => count++;
    let server = await startServer([], data);
    await call(server.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 265 }] });
    await call(server.url, 'POST', '/api/pizzas', { name: 'First', turnAfter: 20, offAfter: 7200 });
    await call(server.url, 'POST', '/api/events', { event: 'launch' });
    // The pizza is to be turned after 20 s, and nobody does: the alert stands through everything that follows.
    await until(
      () => alertsOf(server.url),
      (alerts) => alerts.some((alert) => alert.alert === 'turn-due' && alert.state === 'unacknowledged'),
    );
    for (let round = 0; round < KILLS; round++) {
      const before = (await call(server.url, 'GET', '/api/now')).body;
      await killInTheMiddle(server, random.between(0, LATEST_KILL), next, done);
      const started = performance.now();
      server = await startServer([], data);
      restarts.push(performance.now() - started);
      const now = (await call(server.url, 'GET', '/api/now')).body;
      for (const same of ['cook', 'pizzas', 'onStone']) expect(now[same]).toEqual(before[same]);
      expect(now['t'] as number).toBeGreaterThan(before['t'] as number);
      // The engine's own state is there too: the alert as it stood, and what was estimated of the stone.
      expect(turnDue(now)).toEqual(turnDue(before));
      expect(turnDue(now)).toMatchObject({ state: 'unacknowledged' });
      expect(now['stateSince']).not.toBeUndefined();
      expect(stoneOf(now)).toMatchObject({ estimate: expect.any(Number), error: expect.any(Number) });
      const stored = await storedOf(server.url);
      expect([...done.readings].filter((reading) => !stored.readings.has(reading))).toEqual([]);
      expect([...done.notes].filter((note) => !stored.notes.has(note))).toEqual([]);
    }
    const sorted = [...restarts].sort((a, b) => a - b);
    if (KILLS > 3)
      console.log(
        `${KILLS} kills, ${done.readings.size} readings and ${done.notes.size} taps acknowledged, none lost; ` +
          `restarts: median ${Math.round(sorted[KILLS >> 1] ?? 0)} ms, slowest ${Math.round(sorted.at(-1) ?? 0)} ms`,
      );
  });
});
