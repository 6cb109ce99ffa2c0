import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { open, type FileHandle } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { vi } from 'vitest';
import { atEnd } from '../../support/endings.ts';

/** A serial cable: two real pseudo terminals, what is written at one end comes out at the other. */
export type Cable = {
  /** Path of the end that the server opens. */
  readonly port: string;
  /** The board's end. */
  write(data: string | Buffer): Promise<void>;
  /** Calls back with what the server sends; @returns the off switch */
  onData(listener: (bytes: Buffer) => void): () => void;
  unplug(): Promise<void>;
  plug(): Promise<void>;
  close(): Promise<void>;
};

/** Python's openpty for machines without socat: two pairs, copied into each other. */
const PYTHON = `
import os, select, sys, tty
ends = [os.openpty() for _ in (0, 1)]
for (master, slave), link in zip(ends, sys.argv[1:]):
    tty.setraw(slave)
    os.symlink(os.ttyname(slave), link)
a, b = ends[0][0], ends[1][0]
while True:
    for fd in select.select([a, b], [], [])[0]:
        os.write(b if fd == a else a, os.read(fd, 4096))
`;

const onPath = (name: string): string | undefined =>
  (process.env['PATH'] ?? '')
    .split(delimiter)
    .map((folder) => join(folder, name))
    .find((path) => existsSync(path));

function start(ends: readonly [string, string]): ChildProcess {
  const socat = process.env['SOCAT'] ?? onPath('socat');
  const options = { stdio: 'ignore' } as const;
  if (socat !== undefined)
    return spawn(
      socat,
      ends.map((end) => `pty,rawer,link=${end}`),
      options,
    );
  const python = onPath('python3');
  if (python !== undefined) return spawn(python, ['-c', PYTHON, ...ends], options);
  throw new Error('A serial test needs socat or python3: install one (Debian: sudo apt-get install socat).');
}

/** Laid until the test's end. */
export async function layCable(): Promise<Cable> {
  const folder = mkdtempSync(join(tmpdir(), 'cable-'));
  const ends = [join(folder, 'board'), join(folder, 'port')] as const;
  let joint: ChildProcess | null = null;
  let board: FileHandle | null = null;
  const listeners = new Set<(bytes: Buffer) => void>();

  const listen = async (from: FileHandle): Promise<void> => {
    const buffer = Buffer.alloc(1024);
    try {
      for (;;) {
        const { bytesRead } = await from.read(buffer, 0, buffer.length, null);
        if (bytesRead === 0) return;
        const bytes = Buffer.from(buffer.subarray(0, bytesRead));
        for (const listener of listeners) listener(bytes);
      }
    } catch {
      // Unplugged.
    }
  };
  const cable: Cable = {
    port: ends[1],
    write: async (data) => void (await board?.write(Buffer.from(data))),
    onData: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    plug: async () => {
      joint = start(ends);
      await vi.waitUntil(() => ends.every((end) => existsSync(end)), { timeout: 90_000, interval: 10 });
      board = await open(ends[0], 'r+');
      void listen(board);
    },
    unplug: async () => {
      const [end, handle] = [joint, board];
      [joint, board] = [null, null];
      if (end) {
        end.kill('SIGKILL');
        await once(end, 'exit');
      }
      await handle?.close();
      for (const path of ends) rmSync(path, { force: true });
    },
    close: async () => {
      listeners.clear();
      await cable.unplug();
      rmSync(folder, { recursive: true, force: true });
    },
  };
  atEnd(cable.close);
  await cable.plug();
  return cable;
}
