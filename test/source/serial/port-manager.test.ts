import { describe, expect, it } from 'vitest';
import type { OpenPort, PortEvents } from '../../../server/source/serial/serialport-library.ts';
import { PortManager } from '../../../server/source/serial/port-manager.ts';
import { modbusPoll } from '../../../server/source/subscription.ts';
import { FakeClock } from '../fake-clock.ts';

type Board = {
  open: OpenPort;
  send(text: string): void;
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
  const board: Board = {
    opened: [],
    refuses: null,
    answers: () => null,
    open: async (_path, at, its) => {
      if (board.refuses !== null) throw new Error(board.refuses);
      board.opened.push(at);
      [rate, events] = [at, its];
      return {
        write: (bytes) => {
          const answer = board.answers(Buffer.from(bytes).toString('hex'));
          if (answer !== null) queueMicrotask(() => events?.data(Buffer.from(answer, 'hex')));
        },
        changeRate: async (to) => void (rate = to),
        close: async () => board.unplug(),
      };
    },
    send: (text) => {
      const bytes = Buffer.from(text, 'latin1');
      events?.data(rate === speaksAt ? bytes : bytes.map((byte) => ((byte * 37 + 129) & 0x7f) | 0x80));
    },
    unplug: () => {
      const before = events;
      events = null;
      before?.closed();
    },
  };
  return board;
}

/** A board that talks at a rate, and the manager of its port. */
function manage(speaksAt: number, more: { rate?: number; polls?: object[] } = {}) {
  const device = board(speaksAt);
  const clock = new FakeClock();
  const lines: string[] = [];
  const settings = {
    port: 'usb:1:2:3',
    rate: more.rate,
    polls: (more.polls ?? []).map((p) => modbusPoll.parse(p)),
  };
  const manager = new PortManager(
    settings,
    device.open,
    clock,
    { frame: ({ line, bytes }) => lines.push(line ?? bytes ?? ''), changed: () => {} },
    () => 0.5,
  );
  return { device, clock, lines, manager };
}

describe('a subscribed serial port', () => {
  it.each([9600, 57_600, 1200])('finds by trying that a board talks at %i', async (rate) => {
    const { device, clock, lines, manager } = manage(rate);
    await manager.found('/dev/x', 'Board');
    for (let i = 0; i < 80 && manager.device.rate === undefined; i += 1) {
      device.send(`stone=27${i % 10}.5\r\n`);
      await clock.pass(500);
    }
    expect(manager.device).toMatchObject({ rate, link: 'connected', name: 'Board' });
    expect(device.opened).toHaveLength(1);
    expect(lines.length).toBeGreaterThan(0);
    for (const line of lines) expect(line).toMatch(/^stone=27\d\.5$/);
  });

  it('waits for a board that speaks rarely', async () => {
    const { device, clock, manager } = manage(19_200);
    await manager.found('/dev/x');
    for (let i = 0; i < 60 && manager.device.rate === undefined; i += 1) {
      await clock.pass(6500);
      device.send('t=20.5\r\nt=20.5\r\n');
    }
    expect(manager.device.rate).toBe(19_200);
  });

  it('says so when nothing can be read at any rate, and goes on trying', async () => {
    const { device, clock, manager, lines } = manage(31_250);
    await manager.found('/dev/x');
    for (let i = 0; i < 100; i += 1) {
      device.send('stone=270.5\r\nstone=270.5\r\n');
      await clock.pass(500);
    }
    expect(manager.device.problem).toContain('Nothing that can be read');
    expect(lines).toEqual([]);
  });

  it('keeps the rate that was found when the port was gone and is back', async () => {
    const { device, clock, lines, manager } = manage(9600);
    await manager.found('/dev/x');
    for (let i = 0; i < 40 && manager.device.rate === undefined; i += 1) {
      device.send('a=1\nb=2\nc=3\n');
      await clock.pass(1000);
    }
    device.unplug();
    expect(manager.device.link).toBe('lost');
    await manager.found(null);
    await clock.pass(1000);
    lines.length = 0;
    await manager.found('/dev/y');
    device.send('stone=1\n');
    expect(lines).toEqual(['stone=1']);
    expect(device.opened.at(-1)).toBe(9600);
  });

  it('does not need to be told that an open port is gone: two looks that do not find it are enough', async () => {
    const { manager } = manage(9600, { rate: 9600 });
    await manager.found('/dev/x');
    await manager.found(null);
    expect(manager.device.link).toBe('connected');
    await manager.found(null);
    expect(manager.device).toMatchObject({ link: 'lost', problem: expect.stringContaining('is gone') });
  });

  it('tries a port that is taken again and again, ever more rarely', async () => {
    const { device, clock, manager } = manage(9600, { rate: 9600 });
    device.refuses = 'Error Resource temporarily unavailable Cannot lock port';
    for (let i = 0; i < 60; i += 1) {
      await manager.found('/dev/x');
      await clock.pass(1000);
    }
    expect(manager.device.problem).toContain('taken by another program');
    device.refuses = null;
    for (let i = 0; i < 12; i += 1) {
      await manager.found('/dev/x');
      await clock.pass(1000);
    }
    expect(manager.device).toMatchObject({ link: 'connected' });
    expect(manager.device.problem).toBeUndefined();
  });

  it('asks two modules on one wire in turn, and tells which does not answer', async () => {
    const { device, clock, lines, manager } = manage(9600, {
      polls: [
        { unit: 1, count: 1 },
        { unit: 2, count: 1 },
      ],
    });
    const asked = new Set<string>();
    device.answers = (written) => {
      asked.add(written.slice(0, 2));
      // MODBUS over Serial Line V1.02: the reply 2700 of unit 1.
      return written.startsWith('01') ? '0104020a8cbe35' : null;
    };
    await manager.found('/dev/x');
    await clock.pass(10_000);
    expect(asked).toEqual(new Set(['01', '02']));
    expect(new Set(lines)).toEqual(new Set(['0104020a8cbe35']));
    expect(manager.device.problem).toContain('address 2 does not answer');
  });

  it('is closed for good when it is stopped', async () => {
    const { device, clock, manager, lines } = manage(9600, { rate: 9600 });
    await manager.found('/dev/x');
    await manager.stop();
    await manager.found('/dev/x');
    device.send('stone=1\n');
    expect(lines).toEqual([]);
    expect(device.opened).toHaveLength(1);
    expect(clock.timers).toBe(0);
  });
});
