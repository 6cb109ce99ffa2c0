import { spawnSync } from 'node:child_process';
import { chmodSync, chownSync, mkdirSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { DATABASE_NAME } from '../../server/store/database.ts';
import { openStore } from '../../server/store/sqlite.ts';
import { root, scratch } from '../support/server.ts';

const isRoot = process.getuid?.() === 0;
/** Nobody's number, who owns nothing (also where there is no such name). */
const NOBODY = 65_534;

/** A data folder of a server that was stopped, which belongs to who starts it next. */
function stopped(folder = scratch()): string {
  openStore(folder).close();
  writeFileSync(join(folder, 'peelside.lock'), '');
  // The way there must be open to another user.
  for (let at = dirname(folder); at.startsWith(tmpdir()); at = dirname(at)) chmodSync(at, 0o711);
  if (isRoot)
    for (const name of ['', DATABASE_NAME, 'peelside.lock']) chownSync(join(folder, name), NOBODY, NOBODY);
  return folder;
}

/** Started by a user who is not root, whom no right holds back. */
function serve(folder: string): { code: number | null; err: string } {
  const command = [
    process.execPath,
    join(root, 'server', 'peelside.mjs'),
    'serve',
    '--port',
    '0',
    '--no-open',
  ];
  const as = isRoot ? ['setpriv', `--reuid=${NOBODY}`, `--regid=${NOBODY}`, '--clear-groups'] : [];
  const [program, ...args] = [...as, ...command, '--data', folder];
  const { status, stderr } = spawnSync(program, args, { encoding: 'utf8', timeout: 120_000 });
  return { code: status, err: stderr };
}

describe('given a data folder that may not be written, a start ends with the remedy', () => {
  it.each<[string, (folder: string) => void]>([
    ['its folder', (folder) => chmodSync(folder, 0o500)],
    ['its database', (folder) => chmodSync(join(folder, DATABASE_NAME), 0o400)],
    ['its lock', (folder) => chmodSync(join(folder, 'peelside.lock'), 0o400)],
    [
      'a log that is left',
      (folder) => {
        writeFileSync(join(folder, `${DATABASE_NAME}-wal`), '');
        chmodSync(join(folder, `${DATABASE_NAME}-wal`), 0o444);
      },
    ],
  ])('%s', (_name, forbid) => {
    const folder = stopped();
    forbid(folder);
    const { code, err } = serve(folder);
    expect(code).toBe(1);
    expect(err.trim().split('\n')).toHaveLength(1);
    expect(err).toContain(`"sudo chown -R $USER ${folder}"`);
    chmodSync(folder, 0o700);
  });
});

const mount = join(scratch(), 'mounted');
mkdirSync(mount);
const mounts = isRoot && spawnSync('mount', ['-t', 'tmpfs', 'tmpfs', mount]).status === 0;
afterAll(() => void spawnSync('umount', ['-l', mount]));

it.runIf(mounts)(
  'given a disk that can only be read, a start says so, and not that another server has the folder',
  () => {
    stopped(mount);
    spawnSync('mount', ['-o', 'remount,ro', mount]);
    expect(statSync(join(mount, DATABASE_NAME)).size).toBeGreaterThan(0);
    const { code, err } = serve(mount);
    expect([code, err.trim().split('\n')]).toEqual([
      1,
      [expect.stringMatching(/is on a disk that can only be read: /)],
    ]);
  },
);
