import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { commands } from '../../server/command/command-list.ts';
import { helpText } from '../../server/command/help.ts';
import { serviceUnit } from '../../server/command/service/service.ts';
import { peelside, scratch, startServer } from '../support/server.ts';

describe('the service unit', () => {
  it('given odd paths, written, is accepted by systemd itself', () => {
    const folder = scratch();
    const file = join(folder, 'peelside.service');
    writeFileSync(
      file,
      serviceUnit({
        node: process.execPath,
        launcher: join(folder, 'a "folder" of 100 %', 'peelside.mjs'),
        data: join(folder, 'data with $HOME'),
        port: 8190,
        lan: true,
      }),
    );
    const verify = spawnSync('systemd-analyze', ['--user', 'verify', file], { encoding: 'utf8' });
    // Not every machine has systemd; what it says where it is there counts.
    if (verify.error) expect(verify.error.message).toContain('ENOENT');
    else
      expect(`${verify.stdout}${verify.stderr}`.split('\n').filter((line) => line.includes(file))).toEqual(
        [],
      );
    const unit = readFileSync(file, 'utf8');
    expect(unit).toContain('100 %%');
    expect(unit).toContain('$$HOME');
    expect(unit).toMatch(/ --port 8190 --lan\n/);
  });

  it('given a user without a service manager, installed and removed, leaves a unit and then none', async () => {
    const config = scratch();
    const data = join(scratch(), 'data');
    const env = { XDG_CONFIG_HOME: config, PATH: '/nowhere' };
    const file = join(config, 'systemd', 'user', 'peelside.service');
    const installed = await peelside(['service', 'install', '--data', data], '', env);
    expect(installed.err).toBe('');
    expect(installed.out).toContain('systemctl --user daemon-reload');
    expect(readFileSync(file, 'utf8')).toContain(`--data ${data}`);
    expect((await peelside(['service', 'status'], '', env)).out).toContain(`Installed: ${file}`);
    expect((await peelside(['service', 'remove'], '', env)).code).toBe(0);
    expect(existsSync(file)).toBe(false);
    const again = await peelside(['service', 'remove'], '', env);
    expect(again.code).toBe(1);
    expect(again.err).toContain('There is no service to remove');
  });
});

it('help, given all commands, printed, fits a terminal of 100 columns and names each', () => {
  const text = helpText(commands);
  expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
  for (const { usage } of commands) expect(text.replaceAll(/\s+/g, ' ')).toContain(usage);
});

describe('peelside cooks', () => {
  it('given kept cooks, prints each with its number, and nothing that steers a terminal', async () => {
    const data = scratch();
    mkdirSync(data, { recursive: true });
    expect((await peelside(['cooks', '--data', data])).out).toBe('There is no cook yet.\n');
    const recording = join(scratch(), 'evening.jsonl');
    const header = {
      recording: 1,
      startedAt: '2026-05-02T16:00:00.000Z',
      name: 'Fire\u001b[31m',
      channels: [{ id: 'stone', role: 'stone' }],
    };
    const reading = { t: 90 * 60, channel: 'stone', celsius: 262 };
    writeFileSync(recording, `${JSON.stringify(header)}\n${JSON.stringify(reading)}\n`);
    expect((await peelside(['import', recording, '--data', data])).code).toBe(0);
    const { out } = await peelside(['cooks', '--data', data]);
    expect(out).toMatch(/^ +1 {2}2026-05-0[23] \d\d:\d\d +1 h 30 min {2}0 pizzas/);
    expect(out).not.toContain('\u001b');
    const json = JSON.parse((await peelside(['cooks', '--json', '--data', data])).out) as {
      cooks: unknown[];
    };
    expect(json.cooks).toMatchObject([{ id: 1, pizzas: 0 }]);
  });
});

describe('peelside pair', () => {
  it('given the data folder of a server, asks that server, at whatever port it listens', async () => {
    const server = await startServer();
    const { err } = await peelside(['pair', '--data', server.data]);
    // The server's own answer, since it was started for this machine alone.
    expect(err).toContain('start the server with --lan');
    await server.stop();
    const after = await peelside(['pair', '--data', server.data, '--port', '1']);
    expect(after.err).toContain('No peelside answers at 127.0.0.1:1');
    expect(existsSync(join(server.data, 'peelside.port'))).toBe(false);
  });
});
