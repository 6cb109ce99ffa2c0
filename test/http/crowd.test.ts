import { once } from 'node:events';
import { connect as connectPlain, type Socket } from 'node:net';
import { connect } from 'node:tls';
import { beforeEach, describe, expect, it } from 'vitest';
import { openLan, type Lan } from '../support/lan.ts';

let lan: Lan;
beforeEach(async () => {
  lan = await openLan();
});

const UPGRADE = [
  'GET /api/live HTTP/1.1',
  'Host: 127.0.0.1',
  'Connection: Upgrade',
  'Upgrade: websocket',
  'Sec-WebSocket-Version: 13',
  'Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==',
  '\r\n',
].join('\r\n');

describe('many unauthenticated devices', () => {
  it('given a refused upgrade that the other end never closes, is let go of', async () => {
    const half = connectPlain({ port: lan.port, host: '127.0.0.1', allowHalfOpen: true });
    const socket = connect({ socket: half, host: '127.0.0.1', ca: [lan.authority] });
    await once(socket, 'secureConnect');
    socket.write(UPGRADE);
    const [answer] = (await once(socket, 'data')) as [Buffer]; // as the event is documented
    expect(answer.toString()).toMatch(/^HTTP\/1\.1 401/);
    await expect
      .poll(() => new Promise<number>((resolve) => lan.connections((count) => resolve(count))))
      .toBe(0);
    half.destroy();
  });

  it('on eight addresses, each holding all that it can, keeps no device out that was let in', async () => {
    const { cookie } = await lan.enter('look');
    const held: Socket[] = [];
    for (let i = 0; i < 8 * 64; i++) {
      const socket = connectPlain({
        port: lan.port,
        host: '127.0.0.1',
        localAddress: `127.0.1.${1 + (i % 8)}`,
      });
      socket.on('error', () => {});
      held.push(socket);
    }
    await Promise.all(held.filter(({ connecting }) => connecting).map((socket) => once(socket, 'connect')));
    const answer = await lan.ask('GET', '/api/now', { headers: { cookie } });
    expect(answer.status).toBe(200);
    for (const socket of held) socket.destroy();
  });
});
