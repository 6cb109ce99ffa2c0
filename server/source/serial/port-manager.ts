import { messageOf } from '../../../shared/fault.ts';
import { backOff, type Clock } from '../timing.ts';
import type { Device } from '../source.ts';
import type { ModbusPoll } from '../subscription.ts';
import type { SerialLine } from '../../../shared/recording.ts';
import { createLines, type Lines } from './framing.ts';
import type { OpenPort, OpenedPort } from './serialport-library.ts';
import { createExchange, requestFor, type Exchange } from './modbus-exchange.ts';
import { portErrorOf } from './ports.ts';
import { BIT_RATES, classify } from './rate.ts';

/** Settings of one port; with `polls` it is polled over and over, without it is listened to line by line. */
export type PortSettings = { port: string; rate?: number | undefined; polls: readonly ModbusPoll[] };

type PortManagerEvents = {
  frame(line: Omit<SerialLine, 't'>): void;
  changed(): void;
};

const FIRST_RETRY_MS = 400;
const MAX_RETRY_MS = 8000;
/** How long a rate is given, ms: longer each round, since some boards speak rarely. */
const TRY_RATE_MS = [2500, 6000, 15_000] as const;
const MODBUS_BITS_PER_SECOND = 9600;
const MODBUS_TIMEOUT_MS = 500;
/** Held of what came in while the rate is being found, bytes. */
const MAX_HELD = 2048;
/** A module that misses so many requests in a row is not there. */
const MAX_MISSES = 3;
/** So many looks in a row that don't find an open port mean that it is gone, whatever its library says. */
const MISSING_PORT_CHECKS = 2;

/**
 * One subscribed port: opens it, finds its rate, turns bytes into frames, and opens it again when it was
 * gone.
 */
export class PortManager {
  readonly device: Device;
  private readonly open: OpenPort;
  private readonly clock: Clock;
  private readonly random: () => number;
  private readonly events: PortManagerEvents;
  private settings: PortSettings;
  private port: OpenedPort | null = null;
  private opening = false;
  private over = false;
  private failures = 0;
  private retryAt = 0;
  private unseen = 0;
  private rate: number | null = null;
  /** Which rate is being tried, counted on over the rounds. */
  private trial = 0;
  private held: Uint8Array = new Uint8Array();
  private lines: Lines = createLines();
  private exchange: Exchange | null = null;
  /** Whose turn it is of the polls, and how often each has missed in a row. */
  private turn = 0;
  private readonly misses = new Map<number, number>();
  private off: () => void = () => {};

  constructor(
    settings: PortSettings,
    open: OpenPort,
    clock: Clock,
    events: PortManagerEvents,
    random: () => number = Math.random,
  ) {
    this.settings = settings;
    this.open = open;
    this.clock = clock;
    this.random = random;
    this.events = events;
    this.device = { id: settings.port, link: 'lost' };
  }

  /** The settings may change while it is open; an open port is closed for that, and opened again. */
  reconfigure(settings: PortSettings): void {
    const same = JSON.stringify(settings) === JSON.stringify(this.settings);
    this.settings = settings;
    if (!same && this.port) void this.port.close();
  }

  /** Told over and over where the port is now; null = not there. */
  async found(path: string | null, name?: string): Promise<void> {
    if (name !== undefined) this.device.name = name;
    this.unseen = path === null ? this.unseen + 1 : 0;
    if (path === null && !this.port) this.device.problem = 'It is not plugged in; it is taken up when it is.';
    // The end of a port that goes while it is being opened is not always reported.
    if (this.port && this.unseen >= MISSING_PORT_CHECKS) await this.port.close();
    if (this.over || this.port || this.opening || path === null || this.clock.now() < this.retryAt) return;
    this.opening = true;
    this.device.link = 'connecting';
    try {
      await this.takeUp(path);
    } catch (error) {
      this.failed(path, error);
    }
    this.opening = false;
    this.events.changed();
  }

  async stop(): Promise<void> {
    this.over = true;
    this.off();
    await this.port?.close();
  }

  private async takeUp(path: string): Promise<void> {
    const isAsked = this.settings.polls.length > 0;
    this.rate = this.settings.rate ?? this.rate ?? (isAsked ? MODBUS_BITS_PER_SECOND : null);
    this.trial = 0;
    this.held = new Uint8Array();
    this.lines = createLines();
    const port = await this.open(path, this.rate ?? this.trialRate(), {
      data: (bytes) => this.onData(bytes),
      closed: () => this.closed(path),
    });
    if (this.over) return port.close();
    this.port = port;
    this.failures = 0;
    this.device.link = 'connected';
    delete this.device.problem;
    delete this.device.remedy;
    if (isAsked) this.ask();
    else if (this.rate === null) this.tryOn();
    this.noteRate();
  }

  private failed(path: string, error: unknown): void {
    this.device.link = 'lost';
    Object.assign(this.device, portErrorOf(path, messageOf(error)));
    this.retryLater();
  }

  private closed(path: string): void {
    this.port = null;
    this.off();
    this.device.link = 'lost';
    Object.assign(this.device, portErrorOf(path, 'ENOENT'));
    this.retryLater();
    this.events.changed();
  }

  private retryLater(): void {
    this.retryAt = this.clock.now() + backOff(this.failures, FIRST_RETRY_MS, MAX_RETRY_MS, this.random);
    this.failures += 1;
  }

  private onData(bytes: Uint8Array): void {
    if (this.over) return;
    if (this.settings.polls.length > 0) return this.answered(bytes);
    if (this.rate === null) return this.tryOut(bytes);
    for (const line of this.lines.push(bytes)) this.tell({ line });
  }

  private tell(what: { line: string } | { bytes: string }): void {
    this.events.frame({ source: 'serial', port: this.settings.port, ...what });
  }

  private trialRate(): number {
    return BIT_RATES[this.trial % BIT_RATES.length] ?? BIT_RATES[0];
  }

  private tryOut(bytes: Uint8Array): void {
    this.held = Buffer.concat([this.held, bytes]).subarray(-MAX_HELD);
    const kind = classify(this.held);
    if (kind === 'garbage') this.tryNext();
    if (kind !== 'text') return;
    this.off();
    this.rate = this.trialRate();
    this.noteRate();
    const held = this.held;
    this.held = new Uint8Array();
    // Whatever is before the first end of line is a piece of one.
    const firstEnd = held.findIndex((byte) => byte === 0x0a || byte === 0x0d);
    for (const line of this.lines.push(held.subarray(firstEnd + 1))) this.tell({ line });
    this.events.changed();
  }

  private tryOn(): void {
    const round = Math.min(TRY_RATE_MS.length - 1, Math.floor(this.trial / BIT_RATES.length));
    this.off();
    this.off = this.clock.after(TRY_RATE_MS[round] ?? TRY_RATE_MS[0], () => this.tryNext());
  }

  private tryNext(): void {
    const { port } = this;
    if (!port || this.over) return;
    this.trial += 1;
    this.held = new Uint8Array();
    if (this.trial >= BIT_RATES.length) {
      this.device.problem = 'Nothing that can be read comes in at any usual rate.';
      this.device.remedy = 'Set its rate by hand, and see that it sends a line a reading.';
      this.events.changed();
    }
    this.tryOn();
    port.changeRate(this.trialRate()).catch(() => port.close());
  }

  private noteRate(): void {
    if (this.rate === null) return;
    this.device.rate = this.rate;
    delete this.device.problem;
    delete this.device.remedy;
  }

  private poll(): ModbusPoll | undefined {
    return this.settings.polls[this.turn % this.settings.polls.length];
  }

  private ask(): void {
    const poll = this.poll();
    if (!poll || !this.port || this.over) return;
    const request = requestFor(poll);
    this.exchange = createExchange(request);
    this.port.write(request);
    this.off = this.clock.after(MODBUS_TIMEOUT_MS, () => this.missed(poll));
  }

  private answered(bytes: Uint8Array): void {
    const reply = this.exchange?.push(bytes);
    const poll = this.poll();
    if (!reply || !poll) return;
    this.misses.delete(poll.unit);
    this.tell({ bytes: Buffer.from(reply).toString('hex') });
    this.askNext(poll);
  }

  private missed(poll: ModbusPoll): void {
    this.misses.set(poll.unit, (this.misses.get(poll.unit) ?? 0) + 1);
    this.askNext(poll);
  }

  private askNext(done: ModbusPoll): void {
    this.exchange = null;
    this.noteMisses();
    this.turn = (this.turn + 1) % this.settings.polls.length;
    this.off();
    this.off = this.clock.after((done.every * 1000) / this.settings.polls.length, () => this.ask());
  }

  private noteMisses(): void {
    const before = this.device.problem;
    const silent = [...this.misses].filter(([, misses]) => misses >= MAX_MISSES).map(([unit]) => unit);
    delete this.device.problem;
    delete this.device.remedy;
    if (silent.length > 0) {
      this.device.problem = `The module with the address ${silent.join(' and ')} does not answer.`;
      this.device.remedy = 'Check its supply, the wires A and B (they may be swapped), address and rate.';
    }
    if (before !== this.device.problem) this.events.changed();
  }
}
