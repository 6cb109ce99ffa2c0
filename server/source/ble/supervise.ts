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

/** No beat for so long, ms, is a hang: then it is killed. Starting may take longer on a busy machine. */
const HANG_AFTER = 4000;
const START_WITHIN = 15_000;
const CHECK_EVERY = 500;
const STOP_WITHIN = 2500;
const FIRST_RESTART = 250;
const LAST_RESTART = 10_000;
/** A process that ran so long, ms, was a good one. */
const GOOD_RUN = 20_000;

/** Keeps the radio's process running: a crash or a hang costs seconds, not the cook. Starts it at once. */
export class Supervisor {
  private readonly options: SuperviseOptions;
  private child: ChildProcess | null = null;
  private stopping = false;
  private failures = 0;
  private startedAt = 0;
  /** When it must have beaten again. */
  private deadline = Infinity;
  private longestWait = LAST_RESTART;
  private links: readonly number[] = [];
  private lastWords = '';
  private restart: NodeJS.Timeout | undefined;
  private readonly checking: NodeJS.Timeout;
  private checkedAt = performance.now();

  constructor(options: SuperviseOptions) {
    this.options = options;
    this.checking = setInterval(() => this.check(), CHECK_EVERY);
    this.start();
  }

  say(message: ToChild): void {
    if (this.child?.connected) this.child.send(message, () => {});
  }

  /** The longest wait before a restart, ms; where a person must mend something it need not be short. */
  waitAtMost(ms: number): void {
    this.longestWait = ms;
  }

  async stop(): Promise<void> {
    this.stopping = true;
    clearInterval(this.checking);
    clearTimeout(this.restart);
    const { child } = this;
    if (!child) return;
    const killer = setTimeout(() => child.kill('SIGKILL'), STOP_WITHIN);
    const closed = new Promise((resolve) => child.once('close', resolve));
    if (child.connected) this.say({ say: 'stop' });
    else child.kill('SIGKILL');
    await closed;
    clearTimeout(killer);
  }

  private start(): void {
    const { child: path, env, execArgv = [] } = this.options;
    this.startedAt = performance.now();
    this.deadline = this.startedAt + START_WITHIN;
    this.lastWords = '';
    const child = fork(path, this.links.map(String), {
      execArgv: [...execArgv],
      env: { ...process.env, ...env },
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    });
    this.child = child;
    // What the library prints is worth a look only where the process ends.
    child.stderr?.on('data', (bytes: Buffer) => {
      this.lastWords = firstError(bytes.toString()) ?? this.lastWords;
    });
    child.on('message', (raw) => this.take(raw));
    child.on('error', (error) => (this.lastWords = error.message));
    child.once('close', () => this.ended());
  }

  private take(raw: unknown): void {
    const message = fromChild.safeParse(raw).data;
    if (!message) return;
    this.deadline = performance.now() + HANG_AFTER;
    if (message.say === 'links') this.links = message.handles;
    if (message.say === 'ends') {
      this.lastWords = message.why;
      // It ends its links itself as it goes; only one that was killed leaves any behind.
      this.links = [];
    }
    this.options.heard(message);
  }

  private ended(): void {
    this.child = null;
    if (this.stopping) return;
    this.failures = performance.now() - this.startedAt > GOOD_RUN ? 0 : this.failures + 1;
    const wait = backOff(Math.max(0, this.failures - 1), FIRST_RESTART, this.longestWait, Math.random);
    this.restart = setTimeout(() => this.start(), wait);
    this.options.ended(this.lastWords, wait);
  }

  private check(): void {
    const now = performance.now();
    // A machine that slept finds every beat late: its own lateness tells.
    if (now - this.checkedAt > CHECK_EVERY * 4) this.deadline = Math.max(this.deadline, now + HANG_AFTER);
    this.checkedAt = now;
    if (!this.child || now < this.deadline) return;
    this.lastWords = 'it did not answer any more';
    this.child.kill('SIGKILL');
  }
}

const firstError = (text: string): string | undefined => /^\w*Error.*$/m.exec(text)?.[0].slice(0, 300);
