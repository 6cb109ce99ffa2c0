import { describe, expect, it } from 'vitest';
import { sleeplessClock } from '../../../server/cook/live/clock.ts';
import { openSession, type Bench } from '../../support/session.ts';
import { scratch } from '../../support/server.ts';

const HOUR = 3600_000;
const SUMMER = Date.parse('2026-06-01T17:00:00Z');

/** Two clocks that a test moves apart, ms, and the machine's own, which a process does not take with it. */
function clocks() {
  let boot = 'first';
  let since = 50_000;
  return {
    at: 0,
    wallAt: SUMMER,
    wall(): number {
      return this.wallAt;
    },
    mono(): number {
      return 1000 + this.at;
    },
    boot: () => ({ id: boot, ms: since }),
    run(ms: number): void {
      this.at += ms;
      this.wallAt += ms;
      since += ms;
    },
    restartMachine(): void {
      boot = 'second';
      since = 10_000;
    },
  };
}
type Clocks = ReturnType<typeof clocks>;

/** A stone that rises by exactly 6 °C/min, posted once a second, with no time of its own. */
async function climb(bench: Bench, clock: Clocks, seconds: number, from: number): Promise<number> {
  for (let s = 0; s < seconds; s++) {
    clock.run(1000);
    bench.session.advance();
    await bench.ingest.postReadings([{ channel: 'stone', celsius: from + s / 10 }]);
  }
  return from + seconds / 10;
}
const stone = (bench: Bench) => bench.session.now().channels.find((c) => c.id === 'stone');
const inOrder = (bench: Bench): boolean => {
  const all = bench.store.readings(1, {});
  return all.every((r, i) => i === 0 || (r.t >= (all[i - 1]?.t ?? 0) && r.at >= (all[i - 1]?.at ?? 0)));
};
const open = (clock: Clocks, folder = scratch()): Bench => openSession(folder, clock);

/** A launch after four minutes, and half a minute more, with the wall clock set to `then` at the launch. */
async function launchAround(clock: Clocks, then: number | null): Promise<Bench> {
  const bench = open(clock);
  await bench.session.startCook();
  const before = await climb(bench, clock, 240, 100);
  await bench.commands.event({ event: 'launch', turnAfter: 60, offAfter: 120 });
  if (then !== null) clock.wallAt = then;
  await climb(bench, clock, 30, before);
  return bench;
}

describe.each([
  ['an hour forward', SUMMER, SUMMER + HOUR],
  ['an hour back', SUMMER, SUMMER - HOUR],
  ['from 1970 to today', 86_400_000, SUMMER],
])('a wall clock set %s in the middle of a cook', (_what, first, then) => {
  const begin = async () => {
    const clock = clocks();
    clock.wallAt = first;
    return { clock, bench: await launchAround(clock, then) };
  };

  it('leaves rate, timers and order as they are, and dates the cook by the clock that is right', async () => {
    const { clock, bench } = await begin();
    const steady = await launchAround(clocks(), null);
    const { t, onStone, state, forecast, alerts } = steady.session.now();
    expect(onStone).toHaveLength(1);
    expect(bench.session.now()).toMatchObject({ t, onStone, state, forecast, alerts });
    expect(stone(bench)?.perMinute).toBeCloseTo(6, 0);
    expect(stone(bench)?.age).toBeLessThan(1);
    expect(inOrder(bench)).toBe(true);
    const startedAt = clock.wallAt - 270_000;
    expect(Date.parse(bench.session.now().cook?.startedAt ?? '')).toBe(startedAt);
    expect(bench.store.cook(1)?.startedAt).toBe(startedAt);
    expect(bench.store.cook(1)?.header.startedAt).toBe(new Date(startedAt).toISOString());
    expect(bench.store.readings(1, {})[0]?.at).toBe(startedAt + 1000);
  });

  it('takes readings sent with a time by the new clock, to the millisecond', async () => {
    const { clock, bench } = await begin();
    clock.run(1000);
    const at = new Date(clock.wallAt - 123).toISOString();
    await bench.ingest.postReadings([{ channel: 'dome', celsius: 250, at }]);
    const stored = bench.store.readings(1, { channel: 'dome' })[0];
    expect(stored?.at).toBe(clock.wallAt - 123);
    expect(stored?.t).toBeCloseTo(271 - 0.123, 3);
  });
});

it('leaves labels alone while the wall clock is set to before this program was written', async () => {
  const clock = clocks();
  const bench = open(clock);
  await bench.session.startCook();
  await climb(bench, clock, 10, 100);
  clock.wallAt = 5000;
  await climb(bench, clock, 10, 101);
  expect(Date.parse(bench.session.now().cook?.startedAt ?? '')).toBe(SUMMER);
  await bench.ingest.postReadings([
    { channel: 'dome', celsius: 250, at: new Date(clock.wallAt - 500).toISOString() },
  ]);
  expect(bench.store.readings(1, { channel: 'dome' })[0]?.t).toBeCloseTo(19.5, 3);
});

describe('a restart of the server', () => {
  const killed = async () => {
    const clock = clocks();
    const first = open(clock);
    await first.session.startCook();
    await climb(first, clock, 60, 100);
    return { clock, first };
  };
  const again = (clock: Clocks, first: Bench): Bench => {
    const second = open(clock, first.folder);
    second.session.resume();
    first.store.close();
    return second;
  };

  it('finds the time by the machine, though the wall clock was set meanwhile', async () => {
    const { clock, first } = await killed();
    clock.run(5000);
    clock.wallAt += HOUR;
    const second = again(clock, first);
    expect(second.session.now().t).toBeCloseTo(65, 2);
    second.session.advance();
    expect(Date.parse(second.session.now().cook?.startedAt ?? '')).toBe(clock.wallAt - 65_000);
  });

  it('after a power cut goes by the wall clock', async () => {
    const { clock, first } = await killed();
    clock.restartMachine();
    clock.wallAt += 5 * 60_000;
    const second = again(clock, first);
    expect(second.session.now().t).toBeCloseTo(360, 2);
  });

  it('after a power cut on a machine that wakes in 1970 goes on, and makes the time good once the clock is set', async () => {
    const { clock, first } = await killed();
    const right = clock.wallAt + 5 * 60_000;
    clock.restartMachine();
    clock.wallAt = 20_000;
    const second = again(clock, first);
    expect(second.session.now().t).toBeCloseTo(60, 1);
    clock.run(10_000);
    second.session.advance();
    expect(second.session.now().t).toBeCloseTo(70, 1);
    clock.wallAt = right + 10_000;
    clock.run(1000);
    second.session.advance();
    expect(second.session.now().t).toBeCloseTo(371, 1);
    expect(Date.parse(second.session.now().cook?.startedAt ?? '')).toBe(SUMMER);
  });
});

describe('a machine that sleeps', () => {
  it('counts the sleep, whose clock of running stood still', () => {
    const t = { running: 0, boot: 5000 };
    const mono = sleeplessClock(
      () => t.running,
      () => t.boot,
    );
    const run = (ms: number): number => {
      t.running += ms;
      t.boot += ms;
      return mono();
    };
    mono();
    expect(run(1000)).toBe(1000);
    t.boot += HOUR;
    expect(run(1000)).toBe(2000 + HOUR);
    expect(run(100)).toBe(2100 + HOUR);
    t.boot += 2 * HOUR;
    expect(run(1000)).toBe(3100 + 3 * HOUR);
  });

  it('goes on without the other clock, where there is none', () => {
    let running = 0;
    const mono = sleeplessClock(
      () => (running += 1000),
      () => null,
    );
    expect([mono(), mono()]).toEqual([1000, 2000]);
  });

  it('has its pizza due when it wakes, the stone blind until it is heard again, and no rate made of the gap', async () => {
    const clock = clocks();
    const bench = open(clock);
    await bench.session.startCook();
    const before = await climb(bench, clock, 300, 240);
    await bench.commands.event({ event: 'launch', turnAfter: 60, offAfter: 120 });
    clock.run(20 * 60_000);
    bench.session.advance();
    expect(bench.session.now().alerts.map((a) => a.alert)).toContain('off-due');
    expect(stone(bench)?.stale).toBe(true);
    await climb(bench, clock, 240, before);
    expect(stone(bench)?.perMinute).toBeCloseTo(6, 0);
    expect(Date.parse(bench.session.now().cook?.startedAt ?? '')).toBe(SUMMER);
  });

  it('does not play a rehearsal on in its sleep', async () => {
    const clock = clocks();
    const bench = open(clock);
    await bench.session.rehearse('good-evening', 20);
    clock.run(HOUR);
    bench.session.advance();
    expect(bench.session.now().t).toBeLessThanOrEqual(40);
  });
});

// Every instant is counted since the epoch, so that the night in which clocks are put back is like any other.
it('knows nothing of daylight saving', async () => {
  const zone = process.env['TZ'];
  process.env['TZ'] = 'Europe/Berlin';
  try {
    const clock = clocks();
    clock.wallAt = Date.parse('2026-10-25T00:58:00Z');
    const bench = open(clock);
    await bench.session.startCook();
    await climb(bench, clock, 240, 100);
    expect(new Date(clock.wallAt).getTimezoneOffset()).toBe(-60);
    expect(bench.session.now().t).toBeCloseTo(240, 2);
    expect(stone(bench)?.perMinute).toBeCloseTo(6, 0);
    expect(inOrder(bench)).toBe(true);
    bench.store.close();
  } finally {
    if (zone === undefined) delete process.env['TZ'];
    else process.env['TZ'] = zone;
  }
});
