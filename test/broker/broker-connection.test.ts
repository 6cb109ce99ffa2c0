import { createServer } from 'node:net';
import { expect, it } from 'vitest';
import { keepLine } from '../../server/broker/broker-connection.ts';
import { listen } from '../support/endings.ts';

/** MQTT 5.0, 3.2: a CONNACK without properties, success. */
const LET_IN = Buffer.from([0x20, 3, 0, 0, 0]);

it('given a broker that hangs up before it answers, tries again until it is let in', async () => {
  let connections = 0;
  const broker = createServer((socket) => {
    socket.on('error', () => {});
    if (++connections <= 3) return void socket.destroy();
    socket.once('data', () => socket.write(LET_IN));
  });
  const port = await listen(broker);
  const away: string[] = [];
  let line: ReturnType<typeof keepLine> | null = null;
  await new Promise<void>((resolve) => {
    line = keepLine({
      access: { url: `mqtt://127.0.0.1:${port}`, version: '5' },
      events: { message: () => {}, opened: () => resolve(), away: ({ problem }) => away.push(problem) },
      after: (_ms, act) => {
        const timer = setImmediate(act);
        return () => clearImmediate(timer);
      },
    });
  });
  expect(connections).toBe(4);
  expect(away).toHaveLength(3);
  expect(away[0]).toMatch(/is away/);
  await (line as ReturnType<typeof keepLine> | null)?.close();
});
