import { execFileSync, spawnSync } from 'node:child_process';
import { appendFileSync, mkdirSync, rmSync, statSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  call,
  peelside,
  scratch,
  startServer,
  until,
  type Answer,
  type Server,
} from '../../support/server.ts';

const post = (url: string, celsius: number) =>
  call(url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius }] });
const now = async (url: string) => (await call(url, 'GET', '/api/now')).body;
const stoneOf = (body: Record<string, unknown>): number | undefined =>
  (body['channels'] as { id: string; celsius: number }[]).find((c) => c.id === 'stone')?.celsius; // as its schema says
const storedOf = async (url: string): Promise<number[]> =>
  ((await call(url, 'GET', '/api/cooks/1/readings')).body['readings'] as { celsius: number }[]).map(
    (r) => r.celsius,
  );

/**
 * What the page sees while the disk takes nothing: a refusal, the live value all the same, and why.
 * @param deny sees to it that the disk takes nothing; where the server itself gives room back meanwhile, again
 */
async function goesOnFromMemory(server: Server, deny: () => void): Promise<void> {
  const refusedOf = (ask: () => Promise<Answer>): Promise<Answer> =>
    until(
      () => {
        deny();
        return ask();
      },
      (answer) => answer.status === 503,
    );
  const refused = await refusedOf(() => post(server.url, 222));
  expect(refused.type).toMatch('application/problem+json');
  expect(refused.body['detail']).toMatch(/The disk does not take what happens now/);
  const body = await now(server.url);
  expect(stoneOf(body)).toBe(222);
  expect(body['notKept']).toMatch(/The disk does not take/);
  await refusedOf(() => call(server.url, 'POST', '/api/events', { event: 'launch' }));
  expect((await now(server.url))['onStone']).not.toEqual([]);
  await refusedOf(() => call(server.url, 'POST', '/api/cooks', { name: 'Begun without a disk' }));
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
  const names = (body['cooks'] as { name: string }[]).map(({ name }) => name);
  expect([...new Set(names)]).toEqual(['Begun without a disk', '']);
  await server.stop();
}

describe('a disk that takes nothing', () => {
  // A limit on the size of files makes every write fail, as a disk gone read-only does; no rights are needed for it.
  it('leaves the live screen going, and is made good when it takes again', async () => {
    const server = await startServer();
    expect((await post(server.url, 200)).status).toBe(202);
    const limit = (size: string) =>
      execFileSync('prlimit', ['--pid', String(server.process.pid), `--fsize=${size}:`]);
    await goesOnFromMemory(server, () => limit('0'));
    limit('unlimited');
    await resumes(server);
  });
});

const mount = join(scratch(), 'small-disk');
mkdirSync(mount);
const DISK_BYTES = 2 * 1024 * 1024;
const mountDisk = (): boolean =>
  process.getuid?.() === 0 &&
  spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${DISK_BYTES}`, 'tmpfs', mount]).status === 0;
const unmountDisk = (): void => void spawnSync('umount', ['-l', mount]);
const mounts = mountDisk();
if (mounts) unmountDisk();

/** Takes all the room that there is on the file's disk, while others write there too. */
function fill(file: string): void {
  const block = Buffer.alloc(4096);
  try {
    // Bounded, so that no other disk is ever filled.
    for (let filled = 0; filled <= DISK_BYTES; filled += block.length) appendFileSync(file, block);
    throw new Error(`${file} is on a larger disk`);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
  }
}

describe.runIf(mounts)('a disk that is full', () => {
  beforeEach(() => void mountDisk());
  afterEach(unmountDisk);

  it('leaves the live screen going, and is made good when there is space', async () => {
    const server = await startServer([], join(mount, 'data'));
    expect((await post(server.url, 200)).status).toBe(202);
    const ballast = join(mount, 'ballast');
    await goesOnFromMemory(server, () => fill(ballast));
    rmSync(ballast);
    await resumes(server);
  });

  it('given no space at all, a start ends with what to do, and with a little space it serves what was kept', async () => {
    const folder = join(mount, 'data');
    const server = await startServer([], folder);
    expect((await post(server.url, 200)).status).toBe(202);
    await server.stop();
    const ballast = join(mount, 'ballast');
    fill(ballast);
    const refused = await peelside(['serve', '--port', '0', '--no-open', '--data', folder]);
    expect([refused.code, refused.err.trim()]).toEqual([
      1,
      `The data folder ${folder} is on a disk that is full: free some space, 1 MB at the least.`,
    ]);
    truncateSync(ballast, statSync(ballast).size - 1024 * 1024);
    const again = await startServer([], folder);
    expect(await storedOf(again.url)).toEqual([200]);
    await again.stop();
  });
});

it('given a port that can’t be noted for other commands, the server serves, says so, and stops well', async () => {
  const folder = scratch();
  mkdirSync(join(folder, 'peelside.port'));
  const server = await startServer([], folder);
  expect((await post(server.url, 200)).status).toBe(202);
  await server.stop();
  expect(server.process.exitCode).toBe(0);
});
