import { execFileSync } from 'node:child_process';
import { existsSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { call, scratch, startServer, until } from '../../support/server.ts';

const SYNC_SECONDS = 2.5;
/** The C library's own, but slow while a file is there. */
const SLOW_DISK = `
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <unistd.h>
static int slowly(const char *name, int file) {
  int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, name);
  if (access(getenv("SLOW_WHILE"), F_OK) == 0) usleep(${SYNC_SECONDS * 1e6});
  return real(file);
}
int fsync(int file) { return slowly("fsync", file); }
int fdatasync(int file) { return slowly("fdatasync", file); }
`;

it('a slow disk keeps nobody waiting but who wants to know that it is kept', async () => {
  const place = scratch();
  const [library, source, slow] = ['slow.so', 'slow.c', 'slow'].map((name) => join(place, name)) as [
    string,
    string,
    string,
  ];
  writeFileSync(source, SLOW_DISK);
  execFileSync(process.env['CC'] ?? 'cc', ['-shared', '-fPIC', '-o', library, source, '-ldl']);
  const server = await startServer([], scratch(), { LD_PRELOAD: library, SLOW_WHILE: slow });
  let sent = 0;
  const post = async (readings: number) => {
    const start = performance.now();
    const batch = Array.from({ length: readings }, () => ({
      channel: 'stone',
      celsius: 100 + sent++ / 1000,
    }));
    const { status } = await call(server.url, 'POST', '/api/readings', { readings: batch });
    return { status, start, seconds: (performance.now() - start) / 1000 };
  };
  expect(await post(1)).toMatchObject({ status: 202 });

  writeFileSync(slow, '');
  const sizeOf = (): number => statSync(join(server.data, 'peelside.sqlite')).size;
  const before = sizeOf();
  // Enough for the log to grow long, so that it is copied into the database meanwhile too.
  const posted = (async () => {
    const answers: Awaited<ReturnType<typeof post>>[] = [];
    while (existsSync(slow)) answers.push(await post(5000));
    return answers;
  })();
  /** When each live document was answered. */
  const live: number[] = [];
  let notice: unknown = null;
  const seen = new Set<unknown>();
  await until(
    async () => {
      const { body } = await call(server.url, 'GET', '/api/now');
      live.push(performance.now());
      notice ??= body['notKept'];
      seen.add((body['channels'] as { celsius: number }[])[0]?.celsius); // as its schema says
      return sizeOf() > before + 1e6 && notice !== null && seen.size > 3;
    },
    (isEnough) => isEnough,
  );
  rmSync(slow);
  // The last one may have found the disk quick again.
  const answers = (await posted).slice(0, -1);
  expect(answers.every(({ status }) => status === 202)).toBe(true);
  // Nothing was acknowledged before the disk had it …
  expect(Math.min(...answers.map(({ seconds }) => seconds))).toBeGreaterThan(SYNC_SECONDS - 0.1);
  // … while the live document never waited for it, which would have let one or two be answered beside each of them; it
  // went on with what came, and reported the state.
  const beside = answers.map(
    ({ start, seconds }) => live.filter((at) => at > start && at < start + seconds * 1000).length,
  );
  expect(beside.length).toBeGreaterThan(1);
  expect(Math.min(...beside)).toBeGreaterThan(2);
  expect(notice).toMatch(/The disk is slow/);

  await until(
    () => call(server.url, 'GET', '/api/now'),
    ({ body }) => body['notKept'] === null,
  );
  await server.stop('SIGKILL');
  const again = await startServer([], server.data);
  const { body } = await call(again.url, 'GET', '/api/cooks/1/readings');
  expect((body['readings'] as unknown[]).length).toBe(sent);
});
