import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../../', import.meta.url));
const command = join(root, 'server', 'peelside.mjs');

export const scratch = (): string => mkdtempSync(join(tmpdir(), 'peelside-test-'));
export const fixture = (name: string): string => join(root, 'fixtures', `${name}.jsonl`);

export type Ran = { code: number | null; out: string; err: string };

/** Runs one command to its end. */
export async function peelside(args: readonly string[], input = ''): Promise<Ran> {
  const child = spawn(process.execPath, [command, ...args]);
  let out = '';
  let err = '';
  child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
  child.stdin.end(input);
  await once(child, 'close');
  return { code: child.exitCode, out, err };
}

/** Servers that a failed test left running are ended with the test file. */
const running = new Set<ChildProcess>();
process.once('exit', () => {
  for (const child of running) child.kill('SIGKILL');
});

export type Server = {
  url: string;
  said: string[];
  data: string;
  process: ChildProcess;
  stop(signal?: NodeJS.Signals): Promise<void>;
};

/** Starts the real server as a process of its own, on a free port and a data folder of its own; resolves once it serves. */
export async function startServer(
  args: readonly string[] = [],
  data = scratch(),
  env: Record<string, string> = {},
): Promise<Server> {
  const child = spawn(
    process.execPath,
    [command, 'serve', '--port', '0', '--no-open', '--data', data, ...args],
    {
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, ...env },
    },
  );
  running.add(child);
  child.once('exit', () => running.delete(child));
  let errors = '';
  child.stderr.on('data', (chunk: Buffer) => (errors += chunk.toString()));
  const said: string[] = [];
  const url = await new Promise<string>((resolve, reject) => {
    child.once('exit', () => reject(new Error(`the server ended: ${errors}`)));
    createInterface({ input: child.stdout }).on('line', (line) => {
      said.push(line);
      const address = /peelside is at (\S+)/.exec(line)?.[1];
      if (address) resolve(address);
    });
  });
  return {
    url,
    said,
    data,
    process: child,
    async stop(signal = 'SIGTERM') {
      if (child.exitCode !== null || child.signalCode !== null) return;
      child.kill(signal);
      await once(child, 'exit');
    },
  };
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
  seconds = 20,
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
