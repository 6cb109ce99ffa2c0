import { fork, type ChildProcess } from 'node:child_process';
import { backOff } from '../clock.ts';
import { fromChild, type FromChild, type ToChild } from './messages.ts';

export type SuperviseOptions = {
  /** The bundled child.ts. */
  child: string;
  env?: Record<string, string>;
  execArgv?: readonly string[];
  heard(message: FromChild): void;
  /** The process has ended by itself or was ended, and is started again in `again` ms. */
  ended(why: string, again: number): void;
};

export type Supervised = {
  say(message: ToChild): void;
  /** The longest wait before a restart, ms; for a trouble that a person must mend it need not be short. */
  patience(ms: number): void;
  stop(): Promise<void>;
};

/** No beat for so long, ms, is a hang: then it is killed. Starting may take longer on a busy machine. */
const HANG_AFTER = 4000;
const START_WITHIN = 15_000;
const CHECK_EVERY = 500;
const STOP_WITHIN = 2500;
const FIRST_RESTART = 250;
const LAST_RESTART = 10_000;
/** A process that ran so long, ms, was a good one. */
const GOOD_RUN = 20_000;

/** Keeps the radio's process running: a crash or a hang costs seconds, not the cook. */
export function supervise(options: SuperviseOptions): Supervised {
  let child: ChildProcess | null = null;
  let stopping = false;
  let failures = 0;
  let startedAt = 0;
  let deadline = Infinity;
  let patience = LAST_RESTART;
  let links: readonly number[] = [];
  let lastWords = '';
  let restart: NodeJS.Timeout | undefined;
  let checkedAt = performance.now();

  const start = (): void => {
    startedAt = performance.now();
    deadline = startedAt + START_WITHIN;
    lastWords = '';
    const running = fork(options.child, links.map(String), {
      execArgv: [...(options.execArgv ?? [])],
      env: { ...process.env, ...options.env },
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    });
    child = running;
    // What the library prints is worth a look only where the process ends.
    running.stderr?.on('data', (bytes: Buffer) => (lastWords = firstError(bytes.toString()) ?? lastWords));
    running.on('message', take);
    running.on('error', (error) => (lastWords = error.message));
    running.once('close', () => again(running));
  };

  const take = (raw: unknown): void => {
    const message = fromChild.safeParse(raw).data;
    if (!message) return;
    deadline = performance.now() + HANG_AFTER;
    if (message.say === 'links') links = message.handles;
    if (message.say === 'ends') {
      lastWords = message.why;
      // It ends its links itself as it goes; only one that was killed leaves any behind.
      links = [];
    }
    options.heard(message);
  };

  const again = (ended: ChildProcess): void => {
    if (child === ended) child = null;
    if (stopping) return;
    failures = performance.now() - startedAt > GOOD_RUN ? 0 : failures + 1;
    const wait = backOff(Math.max(0, failures - 1), FIRST_RESTART, patience, Math.random);
    restart = setTimeout(start, wait);
    options.ended(lastWords, wait);
  };

  /** A machine that slept finds every beat late: its own lateness tells. */
  const check = setInterval(() => {
    const now = performance.now();
    const slept = now - checkedAt > CHECK_EVERY * 4;
    checkedAt = now;
    if (slept) deadline = Math.max(deadline, now + HANG_AFTER);
    if (!child || now < deadline) return;
    lastWords = 'it did not answer any more';
    child.kill('SIGKILL');
  }, CHECK_EVERY);

  start();
  return {
    say: (message) => {
      if (child?.connected) child.send(message, () => {});
    },
    patience: (ms) => {
      patience = ms;
    },
    async stop() {
      stopping = true;
      clearInterval(check);
      clearTimeout(restart);
      const running = child;
      if (!running) return;
      const killer = setTimeout(() => running.kill('SIGKILL'), STOP_WITHIN);
      const closed = new Promise((resolve) => running.once('close', resolve));
      if (running.connected) running.send({ say: 'stop' } satisfies ToChild, () => {});
      else running.kill('SIGKILL');
      await closed;
      clearTimeout(killer);
    },
  };
}

const firstError = (text: string): string | undefined => /^\w*Error.*$/m.exec(text)?.[0].slice(0, 300);
