import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { atEnd } from './endings.ts';

export const root = fileURLToPath(new URL('../../', import.meta.url));
const command = join(root, 'server', 'peelside.mjs');

export const scratch = (): string => mkdtempSync(join(tmpdir(), 'peelside-test-'));
export const fixture = (name: string): string => join(root, 'fixtures', `${name}.jsonl`);

export type Ran = { code: number | null; out: string; err: string };

/** Runs one command to its end. */
export async function peelside(
  args: readonly string[],
  input = '',
  env: Record<string, string> = {},
): Promise<Ran> {
  const child = spawn(process.execPath, [command, ...args], { env: { ...process.env, ...env } });
  let out = '';
  let err = '';
  // Where a chunk ends depends on the moment, and may be in the middle of a character.
  child.stdout.setEncoding('utf8').on('data', (chunk: string) => (out += chunk));
  child.stderr.setEncoding('utf8').on('data', (chunk: string) => (err += chunk));
  child.stdin.end(input);
  await once(child, 'close');
  return { code: child.exitCode, out, err };
}

/** Servers that a failed test left running are ended with the test file. */
const running = new Set<ChildProcess>();
process.once('exit', () => {
  for (const child of running) child.kill('SIGKILL');
});

/** Taps and alerts wait for what the server computes in one go: for no longer than this, ms. */
export const LONGEST_STILL = 100;
/** Computed in one go, as measured, and at the pace of the machine where the bound was set; stood by the wall. */
export type Loop = { computedMs: number; scaledMs: number; stoodMs: number };
const watch = pathToFileURL(join(root, 'test', 'support', 'loop-watch.mjs')).href;

/** Figures of every server of this test file, printed at its end where they are asked for. */
let largest: Loop = { computedMs: 0, scaledMs: 0, stoodMs: 0 };
process.once('exit', () => {
  if (process.env['TELL_LOOP'] && largest.stoodMs > 0)
    console.log(
      `event loop: computed for at most ${largest.computedMs.toFixed(0)} ms, stood for ${largest.stoodMs.toFixed(0)} ms`,
    );
});

export type Server = {
  url: string;
  lines: string[];
  data: string;
  process: ChildProcess;
  /** How long its event loop stood still since it serves, or was asked last: computing, and by the wall, ms. */
  loop(): Promise<Loop>;
  /** Ends it, as the test's end does. @throws where its event loop stood still for longer than `LONGEST_STILL` */
  stop(signal?: NodeJS.Signals): Promise<void>;
};

/**
 * Starts the real server as a process of its own, on a free port and a data folder of its own; resolves once it serves.
 * The test's end stops it.
 */
export async function startServer(
  args: readonly string[] = [],
  data = scratch(),
  env: Record<string, string> = {},
): Promise<Server> {
  const child = spawn(
    process.execPath,
    [command, 'serve', '--port', '0', '--no-open', '--data', data, ...args],
    {
      stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
      env: {
        ...process.env,
        PEELSIDE_TEST_LOOP: '1',
        ...env,
        // What a test loads into the server itself stays beside the watch, without which nothing would tell at the end.
        NODE_OPTIONS: `${env['NODE_OPTIONS'] ?? ''} --import ${watch}`,
      },
    },
  );
  running.add(child);
  child.once('exit', () => running.delete(child));
  let errors = '';
  child.stderr?.on('data', (chunk: Buffer) => (errors += chunk.toString()));
  const lines: string[] = [];
  const url = await new Promise<string>((resolve, reject) => {
    child.once('exit', () => reject(new Error(`the server ended: ${errors}`)));
    createInterface({ input: child.stdout ?? process.stdin }).on('line', (line) => {
      lines.push(line);
      const address = /peelside is at (\S+)/.exec(line)?.[1];
      if (address) resolve(address);
    });
  });
  child.send('loop-begin');
  const isGone = (): boolean => child.exitCode !== null || child.signalCode !== null;
  async function loop(): Promise<Loop> {
    const measured = once(child, 'message') as Promise<[Loop]>; // as loop-watch.mjs sends it
    child.send('loop-tell');
    const [seen] = await measured;
    child.send('loop-begin');
    largest = {
      computedMs: Math.max(largest.computedMs, seen.computedMs),
      scaledMs: Math.max(largest.scaledMs, seen.scaledMs),
      stoodMs: Math.max(largest.stoodMs, seen.stoodMs),
    };
    return seen;
  }
  async function stop(signal: NodeJS.Signals = 'SIGTERM'): Promise<void> {
    if (isGone()) return;
    const seen = signal === 'SIGTERM' && child.connected ? await loop() : null;
    child.kill(signal);
    await once(child, 'exit');
    if (seen && seen.scaledMs > LONGEST_STILL)
      throw new Error(
        `the server's event loop stood still for ${Math.round(seen.computedMs)} ms (${Math.round(seen.scaledMs)} ms on a machine at rest)`,
      );
  }
  atEnd(() => stop());
  return { url, lines, data, process: child, loop, stop };
}

export type Answer = { status: number; type: string; body: Record<string, unknown> };

/** One call of the API. */
export async function call(url: string, method: string, path: string, body?: unknown): Promise<Answer> {
  const answer = await fetch(url + path, {
    method,
    ...(body !== undefined && {
      headers: { 'content-type': typeof body === 'string' ? 'application/x-ndjson' : 'application/json' },
      body: typeof body === 'string' ? body : JSON.stringify(body),
    }),
  });
  const text = await answer.text();
  const type = answer.headers.get('content-type') ?? '';
  return {
    status: answer.status,
    type,
    body: (type.includes('json') && text ? JSON.parse(text) : { text }) as Record<string, unknown>,
  };
}

/** Asks again until `wanted` holds. @throws after `seconds`, with what was so last */
export async function until<T>(
  ask: () => Promise<T>,
  wanted: (value: T) => boolean,
  seconds = 180,
): Promise<T> {
  const end = performance.now() + seconds * 1000;
  for (;;) {
    const value = await ask();
    if (wanted(value)) return value;
    if (performance.now() > end)
      throw new Error(
        `it did not come about within ${seconds} s; last: ${JSON.stringify(value)?.slice(0, 500)}`,
      );
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
