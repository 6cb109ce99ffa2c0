import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { cpSync, mkdirSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { beforeAll, describe, expect, it } from 'vitest';
import { call, root, scratch } from '../support/server.ts';

/** The packed file, unpacked as npm does, with the one native package beside it and neither radio nor serial library. */
const folder = join(scratch(), 'peelside');
const RUNTIME = ['better-sqlite3', 'bindings', 'file-uri-to-path'];
const command = join(folder, 'server', 'peelside.mjs');

beforeAll(() => {
  const target = scratch();
  const packed = spawnSync('npm', ['pack', '--ignore-scripts', '--pack-destination', target], {
    cwd: root,
    encoding: 'utf8',
  });
  expect(packed.status, packed.stderr).toBe(0);
  const file = readdirSync(target).find((name) => name.endsWith('.tgz')) ?? '';
  mkdirSync(folder, { recursive: true });
  expect(spawnSync('tar', ['-xzf', join(target, file), '--strip-components=1', '-C', folder]).status).toBe(0);
  for (const name of RUNTIME)
    cpSync(join(root, 'node_modules', name), join(folder, 'node_modules', name), { recursive: true });
});

describe('the packed file', () => {
  it('holds the built server and page, the recordings, the licence and the notice, and no source', () => {
    const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(
      (file) => !file.startsWith('node_modules'),
    );
    expect(files).toEqual(
      expect.arrayContaining([
        '.build/server/main.js',
        '.build/server/ble-child.js',
        '.build/web/index.html',
        '.build/third-party.txt',
        'fixtures/good-evening.jsonl',
        'server/peelside.mjs',
        'LICENSE',
        'README.md',
      ]),
    );
    expect(files.filter((file) => /\.(ts|tsx|map)$/.test(file))).toEqual([]);
  });

  it('asks npm for nothing but what is compiled: SQLite, and where they can be built radio and serial ports', () => {
    const manifest = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Record<string, object>;
    expect(Object.keys(manifest['dependencies'] ?? {})).toEqual(['better-sqlite3']);
    expect(Object.keys(manifest['optionalDependencies'] ?? {})).toEqual(['@abandonware/noble', 'serialport']);
  });

  it('given neither radio nor serial library, serves page and readings, and its doctor says what is missing', async () => {
    const child = spawn(
      process.execPath,
      [command, 'serve', '--port', '0', '--no-open', '--data', scratch()],
      { cwd: scratch(), stdio: ['ignore', 'pipe', 'inherit'] },
    );
    try {
      const lines = createInterface({ input: child.stdout });
      let url = '';
      for await (const line of lines) {
        url = /peelside is at (\S+)/.exec(line)?.[1] ?? '';
        if (url) break;
      }
      expect((await fetch(url)).status).toBe(200);
      const readings = [{ channel: 'stone', celsius: 263.2 }];
      expect((await call(url, 'POST', '/api/readings', { readings })).status).toBe(202);
      const doctor = spawnSync(process.execPath, [command, 'doctor', '--data', scratch(), '--port', '1'], {
        encoding: 'utf8',
      });
      expect(doctor.stdout).toContain('The Bluetooth library is not installed');
      expect(doctor.stdout).toContain('The serial port library is not installed');
      expect(doctor.stdout).toContain('build-essential');
    } finally {
      child.kill('SIGTERM');
      if (child.exitCode === null && child.signalCode === null) await once(child, 'exit');
    }
  });
});
