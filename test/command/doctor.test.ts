import { once } from 'node:events';
import { createServer, type AddressInfo } from 'node:net';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { checkClock, checkData, checkDisk, checkNode, checkPort } from '../../server/command/doctor.ts';
import { peelside, scratch } from '../support/server.ts';

// What is wrong with the radio and with serial ports is found in test/source/device-scan.test.ts, the exact commands in
// test/source/serial/parts.test.ts and test/source/ble/link-loss.test.ts; the certificate in
// test/access/doctor.test.ts.

it.each([
  ['18.20.4', false],
  ['20.18.3', false],
  ['20.19.0', true],
  ['22.0.0', true],
])('Node %s is new enough: %s', (version, ok) => {
  expect(checkNode(version)).toMatchObject({ ok, ...(!ok && { remedy: 'Install Node 20.19 or newer.' }) });
});

it('finds a clock that was never set, as of a small computer without a battery', () => {
  expect(checkClock(0)).toMatchObject({
    ok: false,
    message: '1970-01-01T00:00:00.000Z',
    remedy: expect.stringContaining('timedatectl set-ntp true'),
  });
  expect(checkClock(Date.parse('2026-06-01T17:00:00Z'))).toMatchObject({ ok: true });
});

it('finds a disk that is low, and one that cannot be looked at', () => {
  const free = (bytes: number) => () => ({ bavail: bytes / 4096, bsize: 4096 });
  expect(checkDisk('/', free(500e6))).toMatchObject({ ok: false, message: '0.5 GB free' });
  expect(checkDisk('/', free(20e9))).toMatchObject({ ok: true });
  expect(checkDisk(join(scratch(), 'missing'))).toMatchObject({ ok: false });
});

it('finds a data folder that cannot be written', () => {
  const file = join(scratch(), 'file');
  writeFileSync(file, '');
  expect(checkData(join(file, 'data'))).toMatchObject({
    ok: false,
    remedy: expect.stringContaining('--data'),
  });
});

it('finds a port that is taken, and exits with 1', async () => {
  const other = createServer().listen(0, '127.0.0.1');
  await once(other, 'listening');
  const { port } = other.address() as AddressInfo; // a TCP server has one
  expect(await checkPort(port)).toMatchObject({ ok: false, message: `${port} is taken` });
  const { code, out } = await peelside(['doctor', '--data', scratch(), '--port', String(port)]);
  expect(code).toBe(1);
  expect(out).toMatch(new RegExp(`FIX {3}port: ${port} is taken\\n +Stop the program`));
  other.close();
  await once(other, 'close');
  expect(await checkPort(port)).toMatchObject({ ok: true });
});

// A machine without an adapter, as those that run tests mostly are.
it.skipIf(existsSync('/sys/class/bluetooth/hci0'))(
  'says that there is no Bluetooth, and what to do',
  async () => {
    const { code, out } = await peelside(['doctor', '--data', scratch(), '--port', '1']);
    expect(code).toBe(1);
    expect(out).toMatch(/FIX {3}bluetooth: .*\n +\S/);
  },
);

/** What Node does with a module that was compiled for another Node. */
const OTHER_NODE = `import Module from 'node:module';
const load = Module._extensions['.node'];
Module._extensions['.node'] = (module, file) => {
  if (file.includes('better_sqlite3'))
    throw Object.assign(new Error('compiled against a different Node.js version'), { code: 'ERR_DLOPEN_FAILED' });
  return load(module, file);
};`;

it('given SQLite that is not built for this Node, start and doctor say so, and what to run', async () => {
  const file = join(scratch(), 'other-node.mjs');
  writeFileSync(file, OTHER_NODE);
  const env = { NODE_OPTIONS: `--import ${file}` };
  const remedy = /SQLite is not built for Node \d.*npm rebuild better-sqlite3" in \//s;
  const started = await peelside(['serve', '--port', '0', '--no-open', '--data', scratch()], '', env);
  expect([started.code, started.err.trim().split('\n')]).toEqual([1, [expect.stringMatching(remedy)]]);
  const doctor = await peelside(['doctor', '--data', scratch()], '', env);
  expect([doctor.code, doctor.out]).toEqual([1, expect.stringMatching(remedy)]);
});
