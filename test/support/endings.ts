import { once } from 'node:events';
import type { AddressInfo, Server } from 'node:net';

/** What tests opened and nobody closed yet. */
const OPEN = { byTest: [] as (() => unknown)[], byFile: [] as (() => unknown)[] };
let opener: keyof typeof OPEN = 'byFile';

/** Has `close` called after the running test, or after the file's last where it was opened before all of them. */
export const atEnd = (close: () => unknown): unknown => OPEN[opener].push(close);

/** What a test opens by `open` for those after it too: it is closed after the file's last. */
export async function untilFileEnd<T>(open: () => Promise<T>): Promise<T> {
  const before = opener;
  opener = 'byFile';
  try {
    return await open();
  } finally {
    opener = before;
  }
}

export function beginTest(): void {
  opener = 'byTest';
}

/** Closes what was opened last first, all of it. @throws the first error of those that could not be closed */
async function closeAll(of: keyof typeof OPEN): Promise<void> {
  const errors: unknown[] = [];
  for (const close of OPEN[of].splice(0).reverse())
    try {
      await close();
    } catch (error) {
      errors.push(error);
    }
  if (errors.length > 0) throw errors[0];
}

export async function endTest(): Promise<void> {
  await closeAll('byTest');
  opener = 'byFile';
}

export const endFile = (): Promise<void> => closeAll('byFile');

/** Does it again every `ms`, until it is called off or the test ends. @returns what calls it off */
export function repeat(ms: number, act: () => unknown): () => void {
  const timer = setInterval(act, ms);
  const stop = (): void => clearInterval(timer);
  atEnd(stop);
  return stop;
}

/** Lets a server listen on this machine alone, until the test ends. @returns its port */
export async function listen(server: Server): Promise<number> {
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  atEnd(() => server.close());
  return (server.address() as AddressInfo).port; // a TCP server has one
}
