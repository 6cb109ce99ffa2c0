import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { progressBar } from '../../server/command/progress.ts';
import { fixture, peelside, root, scratch } from '../support/server.ts';

it('fills on a terminal, once a percent, and is wiped away; in a file there is nothing of it', () => {
  const written: string[] = [];
  const bar = progressBar('Backing up', { isTTY: true, write: (text) => written.push(text) });
  for (const fraction of [0, 0.001, 0.5, 1.2]) bar.show(fraction);
  bar.done();
  expect(written).toEqual([
    `\rBacking up [${' '.repeat(30)}] 0 %`,
    `\rBacking up [${'#'.repeat(15)}${' '.repeat(15)}] 50 %`,
    `\rBacking up [${'#'.repeat(30)}] 100 %`,
    '\r\u001b[K',
  ]);
  const silent = progressBar('Backing up', { write: () => expect.unreachable() });
  silent.show(0.5);
  silent.done();
});

// `script` of util-linux gives a command a terminal of its own.
it.skipIf(process.platform !== 'linux')('goes with an import, an export and a backup', async () => {
  const data = scratch();
  const onTerminal = (...words: string[]): string =>
    execFileSync(
      'script',
      ['-qec', [process.execPath, join(root, 'server', 'peelside.mjs'), ...words].join(' '), '/dev/null'],
      { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'], maxBuffer: 64e6 },
    );
  expect(onTerminal('import', fixture('good-evening'), '--data', data)).toMatch(/Importing \[#+ *\] \d+ %/);
  expect(onTerminal('export', '1', '--data', data)).toMatch(/Exporting \[#+ *\] \d+ %/);
  expect(onTerminal('backup', join(data, 'copy'), '--data', data)).toMatch(/Backing up \[#* *\] \d+ %/);
  const { err } = await peelside(['export', '1', '--data', data]);
  expect(err).toBe('');
});
