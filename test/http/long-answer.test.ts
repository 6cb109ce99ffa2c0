import { EventEmitter, once } from 'node:events';
import { connect } from 'node:net';
import { expect, it } from 'vitest';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { longAnswer } from '../../server/http/long-answer.ts';
import { Fault } from '../../shared/fault.ts';
import { openApi } from '../support/api.ts';

/** A call whose answer nobody takes. */
function stalled() {
  const socket = new EventEmitter();
  const request = { socket } as unknown as IncomingMessage; // all that is asked of it
  const response = { setTimeout: () => {} } as unknown as ServerResponse;
  return { socket, open: () => longAnswer(['a', 'b'], request, response) };
}

it('given 32 long answers that nobody takes, refuses the next until a connection is gone', async () => {
  const calls = Array.from({ length: 32 }, stalled);
  const streams = calls.map(({ open }) => open());
  const refused = new Fault('too-many', 'Too much is read out at the same time: try again in a moment.');
  expect(stalled().open).toThrow(refused);
  const gone = once(streams[0] ?? new EventEmitter(), 'close');
  calls[0]?.socket.emit('close');
  await gone;
  const next = stalled();
  const last = next.open();
  expect(stalled().open).toThrow(refused);
  for (const stream of [...streams, last]) stream.destroy();
});

it('given more calls on one connection than are answered, refuses those beyond eight', async () => {
  const api = await openApi();
  const address = await api.app.listen({ port: 0, host: '127.0.0.1' });
  const socket = connect(Number(new URL(address).port), '127.0.0.1');
  socket.write('GET /api/cooks HTTP/1.1\r\nHost: localhost\r\n\r\n'.repeat(20));
  let text = '';
  socket.on('data', (chunk: Buffer) => (text += chunk.toString()));
  const statuses = () => [...text.matchAll(/HTTP\/1\.1 (\d+)/g)].map(([, status]) => status);
  await expect.poll(() => statuses().length).toBe(20);
  expect(statuses().filter((status) => status === '429')).toHaveLength(12);
  socket.write('GET /api/cooks HTTP/1.1\r\nHost: localhost\r\n\r\n');
  await expect.poll(() => statuses()[20]).toBe('200');
  socket.destroy();
});
