import { createHash, randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { createServer } from 'node:http';
import { connect, type TLSSocket } from 'node:tls';
import { beforeAll, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { createLine } from '../../server/hub/socket.ts';
import { createLive } from '../../server/hub/broadcast.ts';
import { openLan, type Lan } from '../support/lan.ts';
import { listen } from '../support/endings.ts';

/**
 * Frames written by hand against the live line. What is expected is RFC 6455's, section beside it. No conformance client
 * for it was to be had from the registry, so that these stand in for one.
 */
let lan: Lan;
let cookie = '';
beforeAll(async () => {
  lan = await openLan();
  ({ cookie } = await lan.enter('look'));
});

async function raw(
  lines: Record<string, string>,
): Promise<{ socket: TLSSocket; head: string; rest: Buffer }> {
  const socket = connect({ port: lan.port, host: '127.0.0.1', ca: [lan.authority] });
  await once(socket, 'secureConnect');
  const asked = { Host: `127.0.0.1:${lan.port}`, Cookie: cookie, ...lines };
  const written = Object.entries(asked).map(([name, value]) => `${name}: ${value}\r\n`);
  socket.write(`GET /api/live HTTP/1.1\r\n${written.join('')}\r\n`);
  let bytes = Buffer.alloc(0);
  for await (const chunk of socket.iterator({ destroyOnReturn: false })) {
    bytes = Buffer.concat([bytes, chunk as Buffer]); // a socket without an encoding gives buffers
    if (bytes.includes('\r\n\r\n')) break;
  }
  const end = bytes.indexOf('\r\n\r\n');
  return { socket, head: bytes.subarray(0, end).toString(), rest: bytes.subarray(end + 4) };
}

const KEY = randomBytes(16).toString('base64');
const HANDSHAKE = {
  Connection: 'Upgrade',
  Upgrade: 'websocket',
  'Sec-WebSocket-Version': '13',
  'Sec-WebSocket-Key': KEY,
};

/** A client's frame, masked by zeros where it is to be masked (5.2, 5.3). */
const frame = (first: number, payload: Buffer, masked = true): Buffer =>
  Buffer.concat([
    payload.length < 126
      ? Buffer.from([first, (masked ? 0x80 : 0) | payload.length])
      : Buffer.from([first, (masked ? 0x80 : 0) | 126, payload.length >> 8, payload.length & 255]),
    masked ? Buffer.alloc(4) : Buffer.alloc(0),
    payload,
  ]);

/** The frames of the server, whole ones only: opcode and payload. */
function framesOf(bytes: Buffer): { opcode: number; payload: Buffer }[] {
  const frames = [];
  for (let at = 0; at + 2 <= bytes.length;) {
    const short = (bytes[at + 1] ?? 0) & 127;
    const size =
      short < 126
        ? short
        : short === 126
          ? bytes.readUInt16BE(at + 2)
          : Number(bytes.readBigUInt64BE(at + 2));
    const from = at + 2 + (short < 126 ? 0 : short === 126 ? 2 : 8);
    frames.push({ opcode: (bytes[at] ?? 0) & 15, payload: bytes.subarray(from, from + size) });
    at = from + size;
  }
  return frames;
}

/** Sends, and reads until the server hangs up or a frame of this opcode came. */
async function after(sent: Buffer, until = 8): Promise<{ opcode: number; payload: Buffer }[]> {
  const { socket, rest } = await raw(HANDSHAKE);
  socket.write(sent);
  let bytes = rest;
  for await (const chunk of socket) {
    bytes = Buffer.concat([bytes, chunk as Buffer]); // as above
    if (framesOf(bytes).some((frame) => frame.opcode === until)) break;
  }
  socket.destroy();
  return framesOf(bytes);
}
const closeCode = async (sent: Buffer): Promise<number | undefined> =>
  (await after(sent)).find((frame) => frame.opcode === 8)?.payload.readUInt16BE(0);

describe('the handshake (RFC 6455 4.2)', () => {
  it('answers with the accept key of 4.2.2, and no extension that was not asked for', async () => {
    const { socket, head } = await raw({ ...HANDSHAKE, 'Sec-WebSocket-Key': 'dGhlIHNhbXBsZSBub25jZQ==' });
    socket.destroy();
    expect(head).toMatch(/^HTTP\/1\.1 101 /);
    expect(head).toContain('Sec-WebSocket-Accept: s3pPLMBiTxaQ9kYGzzhZRbK+xOo='); // the example of 1.3
    expect(head).not.toMatch(/Sec-WebSocket-Extensions/i);
    const accept = createHash('sha1').update(`${KEY}258EAFA5-E914-47DA-95CA-C5AB0DC85B11`).digest('base64');
    const again = await raw(HANDSHAKE);
    again.socket.destroy();
    expect(again.head).toContain(`Sec-WebSocket-Accept: ${accept}`);
  });

  it.each([
    [
      'another version (4.4)',
      { 'Sec-WebSocket-Version': '12' },
      /^HTTP\/1\.1 (400|426) [^]*Sec-WebSocket-Version: 13/,
    ],
    ['a key that is not 16 bytes (4.1)', { 'Sec-WebSocket-Key': 'short' }, /^HTTP\/1\.1 400 /],
  ])('refuses %s', async (_name, wrong, answer) => {
    const { socket, head } = await raw({ ...HANDSHAKE, ...wrong });
    socket.destroy();
    expect(head).toMatch(answer);
  });
});

describe('frames (RFC 6455 5)', () => {
  it('begin with the snapshot, unmasked (5.1)', async () => {
    const [first] = await after(frame(0x89, Buffer.from('x')), 1);
    expect(first?.opcode).toBe(1);
    expect(JSON.parse(String(first?.payload))).toMatchObject({ type: 'snapshot' });
  });

  it('answer a ping with a pong of the same payload (5.5.3)', async () => {
    const frames = await after(frame(0x89, Buffer.from('stone')), 10);
    expect(String(frames.find((frame) => frame.opcode === 10)?.payload)).toBe('stone');
  });

  it.each([
    ['an unmasked frame (5.1)', frame(0x81, Buffer.from('x'), false), 1002],
    ['a reserved bit (5.2)', frame(0xc1, Buffer.from('x')), 1002],
    ['a reserved opcode (5.2)', frame(0x83, Buffer.from('x')), 1002],
    ['a ping in fragments (5.5)', frame(0x09, Buffer.from('x')), 1002],
    ['a ping of 126 bytes (5.5)', frame(0x89, Buffer.alloc(126)), 1002],
    ['a continuation of nothing (5.4)', frame(0x80, Buffer.from('x')), 1002],
    ['text that is not UTF-8 (8.1)', frame(0x81, Buffer.from([0xff])), 1007],
    ['more than the line takes (10.4)', frame(0x81, Buffer.alloc(2000, 'x')), 1009],
    ['a message, for this connection is only for listening (7.4.1)', frame(0x81, Buffer.from('x')), 1008],
    ['a close of one byte (5.5.1)', frame(0x88, Buffer.from([3])), 1002],
    [
      'a close with a code that is not to be sent (7.4.2)',
      frame(0x88, Buffer.from([1005 >> 8, 1005 & 255])),
      1002,
    ],
    ['a close, with the same code (5.5.1)', frame(0x88, Buffer.from([1000 >> 8, 1000 & 255])), 1000],
  ])('close upon %s', async (_name, sent, code) => {
    expect(await closeCode(sent)).toBe(code);
  });

  it('end for a page that floods it with pings', async () => {
    const pings = Buffer.concat(Array.from({ length: 40 }, () => frame(0x89, Buffer.from('x'))));
    const frames = await after(pings);
    expect(frames.filter((frame) => frame.opcode === 10).length).toBeLessThanOrEqual(21);
  });
});

it('the number of live lines is bounded over all devices, and those who are in stay in', async () => {
  const live = createLive();
  const line = createLine(live, () => ({ status: 101, who: '' }));
  const server = createServer();
  const port = await listen(server);
  line.serve(server);
  const come = (): Promise<number> =>
    new Promise((resolve) => {
      const ws = new WebSocket(`ws://127.0.0.1:${port}/api/live`);
      ws.once('open', () => resolve(101));
      ws.once('unexpected-response', (_request, response) => resolve(response.statusCode ?? 0));
      ws.on('error', () => resolve(0));
    });
  const came = await Promise.all(Array.from({ length: 256 }, come));
  expect(came.filter((status) => status !== 101)).toEqual([]);
  expect(await come()).toBe(503);
  expect(live.listeners()).toBe(256);
  line.stop();
  live.close();
});
