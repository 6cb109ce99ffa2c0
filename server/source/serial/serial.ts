import { messageOf } from '../../../shared/fault.ts';
import { systemClock, type Clock } from '../timing.ts';
import type { Device, Source, SourceEvents, SourceStatus } from '../source.ts';
import type { SerialSubscription, Subscription } from '../subscription.ts';
import { openPort, type OpenPort } from './serialport-library.ts';
import { PortManager, type PortSettings } from './port-manager.ts';
import { listPorts, mayUse, portErrorOf, type ListedPort } from './ports.ts';

export type SerialOptions = {
  /** Paths of ports that the kernel does not tell of. */
  extra?: readonly string[];
  list?: () => Promise<ListedPort[]>;
  open?: OpenPort;
  clock?: Clock;
};

/** A port that was plugged in is seen so soon, ms. */
const LIST_EVERY_MS = 1000;

/** Serial ports: all are listed, subscribed ports are opened (which resets some boards). */
export class SerialSource implements Source {
  readonly kind = 'serial';
  private readonly list: () => Promise<ListedPort[]>;
  private readonly open: OpenPort;
  private readonly clock: Clock;
  private events: SourceEvents | null = null;
  private readonly managers = new Map<string, PortManager>();
  private subscriptions: readonly SerialSubscription[] = [];
  private looks: { subscription: SerialSubscription; until: number }[] = [];
  private ports: ListedPort[] = [];
  private problem: string | undefined;
  private off: () => void = () => {};
  private lastEmitted = '';

  constructor({ extra = [], list, open = openPort, clock = systemClock }: SerialOptions = {}) {
    this.list = list ?? (() => listPorts(extra));
    this.open = open;
    this.clock = clock;
  }

  start(events: SourceEvents): void {
    if (this.events) return;
    this.events = events;
    void this.turn();
  }

  subscribe(subscriptions: readonly Subscription[]): void {
    this.subscriptions = subscriptions.filter((each) => each.source === 'serial');
    this.reconcile();
  }

  look(at: Subscription, seconds: number): void {
    if (at.source !== 'serial') return;
    this.looks = this.looks.filter((look) => look.subscription.port !== at.port);
    this.looks.push({ subscription: at, until: this.clock.now() + seconds * 1000 });
    this.reconcile();
  }

  async stop(): Promise<void> {
    this.off();
    const { events } = this;
    this.events = null;
    this.lastEmitted = '';
    const managers = [...this.managers.values()];
    this.managers.clear();
    await Promise.all(managers.map((manager) => manager.stop()));
    events?.status({ source: 'serial', state: 'off', devices: [] });
  }

  /** Looks what is plugged in, over and over. */
  private async turn(): Promise<void> {
    try {
      this.ports = await this.list();
      this.problem = undefined;
    } catch (error) {
      this.problem = `The serial ports can't be listed (${messageOf(error)}).`;
    }
    if (!this.events) return;
    this.reconcile();
    this.off = this.clock.after(LIST_EVERY_MS, () => void this.turn());
  }

  private reconcile(): void {
    if (!this.events) return;
    this.looks = this.looks.filter((look) => look.until > this.clock.now());
    const settings = byPort([...this.subscriptions, ...this.looks.map((look) => look.subscription)]);
    for (const [id, manager] of this.managers) {
      if (settings.has(id)) continue;
      this.managers.delete(id);
      void manager.stop();
    }
    for (const port of settings.values()) this.ensure(port);
    this.tell();
  }

  private ensure(settings: PortSettings): void {
    const manager = this.managers.get(settings.port) ?? this.createPort(settings);
    this.managers.set(settings.port, manager);
    manager.reconfigure(settings);
    const port = this.ports.find((port) => port.id === settings.port);
    void manager.found(port?.path ?? null, port?.name);
  }

  private createPort(settings: PortSettings): PortManager {
    return new PortManager(settings, this.open, this.clock, {
      frame: (line) => this.events?.frame(line),
      changed: () => this.tell(),
    });
  }

  private tell(): void {
    const listed = this.ports.filter((port) => !this.managers.has(port.id)).map(deviceOf);
    const open = [...this.managers.values()].map((manager) => manager.device);
    const status: SourceStatus = {
      source: 'serial',
      state: this.problem === undefined ? 'running' : 'failed',
      ...(this.problem !== undefined && {
        problem: this.problem,
        remedy: 'Unplug the boards and plug them in again; it is tried again by itself.',
      }),
      devices: structuredClone([...open, ...listed]),
    };
    const text = JSON.stringify(status);
    if (text === this.lastEmitted) return;
    this.lastEmitted = text;
    this.events?.status(status);
  }
}

/** Several probes share a port: each poll once, and the first rate that one names. */
function byPort(settings: readonly SerialSubscription[]): Map<string, PortSettings> {
  const ports = new Map<string, PortSettings>();
  for (const { port, rate, modbus } of settings) {
    const before = ports.get(port) ?? { port, polls: [] };
    const isNew = modbus && !before.polls.some((poll) => JSON.stringify(poll) === JSON.stringify(modbus));
    ports.set(port, {
      port,
      rate: before.rate ?? rate,
      polls: isNew ? [...before.polls, modbus] : before.polls,
    });
  }
  return ports;
}

/** A port without a subscription is only named; whether it may be used is known without opening it. */
const deviceOf = ({ id, path, name }: ListedPort): Device => ({
  id,
  name,
  link: 'seen',
  ...(!mayUse(path) && portErrorOf(path, 'EACCES')),
});
