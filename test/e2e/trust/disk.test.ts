import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { call, scratch, startServer, until, type Server } from '../../support/server.ts';

const post = (url: string, celsius: number) =>
  call(url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius }] });
const now = async (url: string) => (await call(url, 'GET', '/api/now')).body;
const stoneOf = (body: Record<string, unknown>): number | undefined =>
  (body['channels'] as { id: string; celsius: number }[]).find((c) => c.id === 'stone')?.celsius; // as its schema says
const storedOf = async (url: string): Promise<number[]> =>
  ((await call(url, 'GET', '/api/cooks/1/readings')).body['readings'] as { celsius: number }[]).map(
    (r) => r.celsius,
  );

/** What the page sees while the disk takes nothing: a refusal, the live value all the same, and why. */
async function goesOnFromMemory(server: Server): Promise<void> {
  const refused = await until(
    () => post(server.url, 222),
    (answer) => answer.status === 503,
  );
  expect(refused.type).toMatch('application/problem+json');
  expect(refused.body['detail']).toMatch(/The disk does not take what happens now/);
  const body = await now(server.url);
  expect(stoneOf(body)).toBe(222);
  expect(body['notKept']).toMatch(/The disk does not take/);
  const event = await call(server.url, 'POST', '/api/events', { event: 'launch' });
  expect(event.status).toBe(503);
  expect((await now(server.url))['onStone']).toHaveLength(1);
  const cook = await call(server.url, 'POST', '/api/cooks', { name: 'Begun without a disk' });
  expect(cook.status).toBe(503);
  expect((await now(server.url))['cook']).toMatchObject({ name: 'Begun without a disk' });
  expect((await call(server.url, 'GET', '/api/settings')).status).toBe(200);
  expect(server.process.exitCode).toBeNull();
}

/** It resumes by itself, nobody asks, and what was held in memory is on disk after. */
async function resumes(server: Server): Promise<void> {
  await until(
    () => now(server.url),
    (body) => body['notKept'] === null,
  );
  expect((await post(server.url, 233)).status).toBe(202);
  const stored = await storedOf(server.url);
  expect(stored.slice(0, 1)).toEqual([200]);
  expect(stored).toContain(222);
  const { body } = await call(server.url, 'GET', '/api/cooks');
  expect((body['cooks'] as { name: string }[]).map((c) => c.name)).toEqual(['Begun without a disk', '']);
  await server.stop();
}

describe('a disk that takes nothing', () => {
  // A limit on the size of files makes every write fail, as a disk gone read-only does; no rights are needed for it.
  it('leaves the live screen going, and is made good when it takes again', async () => {
    const server = await startServer();
    expect((await post(server.url, 200)).status).toBe(202);
    const limit = (size: string) =>
      execFileSync('prlimit', ['--pid', String(server.process.pid), `--fsize=${size}:`]);
    limit('0');
    await goesOnFromMemory(server);
    limit('unlimited');
    await resumes(server);
  });
});

const mount = join(scratch(), 'small-disk');
mkdirSync(mount);
const mounts =
  process.getuid?.() === 0 &&
  spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=2m', 'tmpfs', mount]).status === 0;

describe.runIf(mounts)('a disk that is full', () => {
  afterEach(() => void spawnSync('umount', ['-l', mount]));

  it('leaves the live screen going, and is made good when there is space', async () => {
    const server = await startServer([], join(mount, 'data'));
    expect((await post(server.url, 200)).status).toBe(202);
    const ballast = join(mount, 'ballast');
    const { bavail, bsize } = statfsSync(mount);
    writeFileSync(ballast, Buffer.alloc(bavail * bsize));
    await goesOnFromMemory(server);
    rmSync(ballast);
    await resumes(server);
  });
});
