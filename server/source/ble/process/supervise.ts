import { fork, type ChildProcess } from 'node:child_process';
import { backOff, systemClock, type Clock } from '../../timing.ts';
import { ownNode } from './own-node.ts';
import { fromChild, type FromChild, type ToChild } from './process-messages.ts';

type SuperviseOptions = {
  /** The bundled child.ts. */
  child: string;
  env?: Record<string, string>;
  execArgv?: readonly string[];
  clock?: Clock;
  onMessage(message: FromChild): void;
  /** The process has ended by itself or was ended, and is started again in `again` ms. */
  ended(why: string, again: number): void;
};

/** No heartbeat for so long, ms, is a hang: then it is killed. Starting may take longer on a busy machine. */
const HANG_AFTER_MS = 4000;
const START_TIMEOUT_MS = 15_000;
const CHECK_EVERY_MS = 500;
const STOP_TIMEOUT_MS = 2500;
const FIRST_RESTART_MS = 250;
const MAX_RESTART_MS = 10_000;
/** A process that ran so long, ms, was a good one. */
const STABLE_RUN_MS = 20_000;

/** Keeps the radio's process running: a crash or a hang costs seconds, not the cook. Starts it at once. */
export class Supervisor {
  private readonly options: SuperviseOptions;
  private readonly clock: Clock;
  private child: ChildProcess | null = null;
  private stopping = false;
  private failures = 0;
  private startedAt = 0;
  /** When it must have beaten again. */
  private deadline = Infinity;
  private longestWait = MAX_RESTART_MS;
  private links: readonly number[] = [];
  private lastWords = '';
  private cancelRestart = (): void => {};
  private cancelCheck = (): void => {};
  private checkedAt: number;

  constructor(options: SuperviseOptions) {
    this.options = options;
    this.clock = options.clock ?? systemClock;
    this.checkedAt = this.clock.now();
    this.checkLater();
    this.start();
  }

  send(message: ToChild): void {
    if (this.child?.connected) this.child.send(message, () => {});
  }

  /** The longest wait before a restart, ms; where a person must repair something it need not be short. */
  waitAtMost(ms: number): void {
    this.longestWait = ms;
  }

  async stop(): Promise<void> {
    this.stopping = true;
    this.cancelCheck();
    this.cancelRestart();
    const { child } = this;
    if (!child) return;
    const spare = this.clock.after(STOP_TIMEOUT_MS, () => child.kill('SIGKILL'));
    const closed = new Promise((resolve) => child.once('close', resolve));
    if (child.connected) this.send({ type: 'stop' });
    else child.kill('SIGKILL');
    await closed;
    spare();
  }

  private start(): void {
    const { child: path, env, execArgv = [] } = this.options;
    this.startedAt = this.clock.now();
    this.deadline = this.startedAt + START_TIMEOUT_MS;
    this.lastWords = '';
    const child = fork(path, this.links.map(String), {
      execPath: ownNode() ?? process.execPath,
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
    this.deadline = this.clock.now() + HANG_AFTER_MS;
    if (message.type === 'links') this.links = message.handles;
    if (message.type === 'ends') {
      this.lastWords = message.why;
      // It ends its links itself as it goes; only one that was killed leaves any behind.
      this.links = [];
    }
    this.options.onMessage(message);
  }

  private ended(): void {
    this.child = null;
    if (this.stopping) return;
    this.failures = this.clock.now() - this.startedAt > STABLE_RUN_MS ? 0 : this.failures + 1;
    const wait = backOff(Math.max(0, this.failures - 1), FIRST_RESTART_MS, this.longestWait, Math.random);
    this.cancelRestart = this.clock.after(wait, () => this.start());
    this.options.ended(this.lastWords, wait);
  }

  private checkLater(): void {
    this.cancelCheck = this.clock.after(CHECK_EVERY_MS, () => {
      this.checkLater();
      this.check();
    });
  }

  private check(): void {
    const now = this.clock.now();
    // After a sleep of the machine every heartbeat is late: its own lateness shows it.
    if (now - this.checkedAt > CHECK_EVERY_MS * 4)
      this.deadline = Math.max(this.deadline, now + HANG_AFTER_MS);
    this.checkedAt = now;
    if (!this.child || now < this.deadline) return;
    this.lastWords = 'it did not answer any more';
    this.child.kill('SIGKILL');
  }
}

const firstError = (text: string): string | undefined => /^\w*Error.*$/m.exec(text)?.[0].slice(0, 300);
