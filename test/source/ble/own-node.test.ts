import { chmodSync, copyFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { ownNode, ownNodeCommand } from '../../../server/source/ble/process/own-node.ts';
import { scratch } from '../../support/server.ts';

it('given a copy of this node, asked, takes it; of another node, or none, takes none', () => {
  const folder = scratch();
  const copy = join(folder, 'node');
  expect(ownNode(copy)).toBeNull();
  writeFileSync(copy, 'an older node');
  chmodSync(copy, 0o750);
  expect(ownNode(copy)).toBeNull();
  copyFileSync(process.execPath, copy);
  expect(ownNode(copy)).toBe(copy);
});

it('given the remedy, as printed, gives raw sockets to the copy and never to the node that runs all scripts', () => {
  const [install = '', setcap = ''] = ownNodeCommand('/usr/bin/env').split(' && ');
  expect(install).toMatch(/^sudo install -D -m 750 -g \$\(id -gn\) \/\S+ \/usr\/local\/lib\/peelside\/node$/);
  expect(setcap).toBe('sudo setcap cap_net_raw+eip /usr/local/lib/peelside/node');
});
