import { describe, expect, it } from 'vitest';
import type { OpenPort, PortEvents } from '../../../server/source/serial/library.ts';
import { PortKeeper } from '../../../server/source/serial/port.ts';
import { modbusPoll } from '../../../server/source/want.ts';
import { FakeClock } from '../fake-clock.ts';

type Board = {
  open: OpenPort;
  say(text: string): void;
  unplug(): void;
  opened: number[];
  /** What it answers to what is written to it, both hexadecimal. */
  answers(written: string): string | null;
  refuses: string | null;
};

/** A board that talks at one rate; at any other its letters come out as others. */
function board(speaksAt: number): Board {
  let rate = 0;
  let events: PortEvents | null = null;
  const one: Board = {
    opened: [],
    refuses: null,
    answers: () => null,
    open: async (_path, at, its) => {
      if (one.refuses !== null) throw new Error(one.refuses);
      one.opened.push(at);
      [rate, events] = [at, its];
      return {
        write: (bytes) => {
          const answer = one.answers(Buffer.from(bytes).toString('hex'));
          if (answer !== null) queueMicrotask(() => events?.data(Buffer.from(answer, 'hex')));
        },
        changeRate: async (to) => void (rate = to),
        close: async () => one.unplug(),
      };
    },
    say: (text) => {
      const bytes = Buffer.from(text, 'latin1');
      events?.data(rate === speaksAt ? bytes : bytes.map((byte) => ((byte * 37 + 129) & 0x7f) | 0x80));
    },
    unplug: () => {
      const before = events;
      events = null;
      before?.closed();
    },
  };
  return one;
}

function keep(one: ReturnType<typeof board>, more: { rate?: number; polls?: object[] } = {}) {
  const clock = new FakeClock();
  const lines: string[] = [];
  const want = {
    port: 'usb:1:2:3',
    rate: more.rate,
    polls: (more.polls ?? []).map((p) => modbusPoll.parse(p)),
  };
  const keeper = new PortKeeper(
    want,
    one.open,
    clock,
    { frame: ({ line, bytes }) => lines.push(line ?? bytes ?? ''), changed: () => {} },
    () => 0.5,
  );
  return { clock, lines, keeper };
}

describe('a serial port that is wanted', () => {
  it.each([9600, 57_600, 1200])('finds by trying that a board talks at %i', async (rate) => {
    const one = board(rate);
    const { clock, lines, keeper } = keep(one);
    await keeper.found('/dev/x', 'Board');
    for (let i = 0; i < 80 && keeper.device.rate === undefined; i += 1) {
      one.say(`stone=27${i % 10}.5\r\n`);
      await clock.pass(500);
    }
    expect(keeper.device).toMatchObject({ rate, link: 'connected', name: 'Board' });
    expect(one.opened).toHaveLength(1);
    expect(lines.length).toBeGreaterThan(0);
    for (const line of lines) expect(line).toMatch(/^stone=27\d\.5$/);
  });

  it('waits for a board that speaks rarely', async () => {
    const one = board(19_200);
    const { clock, keeper } = keep(one);
    await keeper.found('/dev/x');
    for (let i = 0; i < 60 && keeper.device.rate === undefined; i += 1) {
      await clock.pass(6500);
      one.say('t=20.5\r\nt=20.5\r\n');
    }
    expect(keeper.device.rate).toBe(19_200);
  });

  it('says so when nothing can be read at any rate, and goes on trying', async () => {
    const one = board(31_250);
    const { clock, keeper, lines } = keep(one);
    await keeper.found('/dev/x');
    for (let i = 0; i < 100; i += 1) {
      one.say('stone=270.5\r\nstone=270.5\r\n');
      await clock.pass(500);
    }
    expect(keeper.device.problem).toContain('Nothing that can be read');
    expect(lines).toEqual([]);
  });

  it('keeps the rate that was found when the port was gone and is back', async () => {
    const one = board(9600);
    const { clock, lines, keeper } = keep(one);
    await keeper.found('/dev/x');
    for (let i = 0; i < 40 && keeper.device.rate === undefined; i += 1) {
      one.say('a=1\nb=2\nc=3\n');
      await clock.pass(1000);
    }
    one.unplug();
    expect(keeper.device.link).toBe('lost');
    await keeper.found(null);
    await clock.pass(1000);
    lines.length = 0;
    await keeper.found('/dev/y');
    one.say('stone=1\n');
    expect(lines).toEqual(['stone=1']);
    expect(one.opened.at(-1)).toBe(9600);
  });

  it('does not need to be told that an open port is gone: two looks that do not find it are enough', async () => {
    const one = board(9600);
    const { keeper } = keep(one, { rate: 9600 });
    await keeper.found('/dev/x');
    await keeper.found(null);
    expect(keeper.device.link).toBe('connected');
    await keeper.found(null);
    expect(keeper.device).toMatchObject({ link: 'lost', problem: expect.stringContaining('is gone') });
  });

  it('tries a port that is taken again and again, ever more rarely', async () => {
    const one = board(9600);
    one.refuses = 'Error Resource temporarily unavailable Cannot lock port';
    const { clock, keeper } = keep(one, { rate: 9600 });
    for (let i = 0; i < 60; i += 1) {
      await keeper.found('/dev/x');
      await clock.pass(1000);
    }
    expect(keeper.device.problem).toContain('taken by another program');
    one.refuses = null;
    for (let i = 0; i < 12; i += 1) {
      await keeper.found('/dev/x');
      await clock.pass(1000);
    }
    expect(keeper.device).toMatchObject({ link: 'connected' });
    expect(keeper.device.problem).toBeUndefined();
  });

  it('asks two modules on one wire in turn, and tells which does not answer', async () => {
    const one = board(9600);
    const { clock, lines, keeper } = keep(one, {
      polls: [
        { unit: 1, count: 1 },
        { unit: 2, count: 1 },
      ],
    });
    const asked = new Set<string>();
    one.answers = (written) => {
      asked.add(written.slice(0, 2));
      // Handbook 5: the reply 2700 of unit 1.
      return written.startsWith('01') ? '0104020a8cbe35' : null;
    };
    await keeper.found('/dev/x');
    await clock.pass(10_000);
    expect(asked).toEqual(new Set(['01', '02']));
    expect(new Set(lines)).toEqual(new Set(['0104020a8cbe35']));
    expect(keeper.device.problem).toContain('address 2 does not answer');
  });

  it('is closed for good when it is stopped', async () => {
    const one = board(9600);
    const { clock, keeper, lines } = keep(one, { rate: 9600 });
    await keeper.found('/dev/x');
    await keeper.stop();
    await keeper.found('/dev/x');
    one.say('stone=1\n');
    expect(lines).toEqual([]);
    expect(one.opened).toHaveLength(1);
    expect(clock.timers).toBe(0);
  });
});
