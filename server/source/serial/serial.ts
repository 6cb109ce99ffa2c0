import { systemClock, type Clock } from '../clock.ts';
import type { Device, Source, SourceEvents, SourceStatus } from '../source.ts';
import type { SerialWant, Want } from '../want.ts';
import { openPort, type OpenPort } from './library.ts';
import { PortKeeper, type PortWant } from './port.ts';
import { listPorts, mayUse, portTrouble, type PortInReach } from './ports.ts';

export type SerialOptions = {
  /** Paths of ports that the kernel does not tell of. */
  extra?: readonly string[];
  list?: () => Promise<PortInReach[]>;
  open?: OpenPort;
  clock?: Clock;
};

/** A port that was plugged in is seen so soon, ms. */
const LIST_EVERY = 1000;

/** Serial ports: all are listed, those that are wanted or looked at are opened (which resets some boards). */
export class SerialSource implements Source {
  readonly kind = 'serial';
  private readonly list: () => Promise<PortInReach[]>;
  private readonly open: OpenPort;
  private readonly clock: Clock;
  private events: SourceEvents | null = null;
  private readonly keepers = new Map<string, PortKeeper>();
  private wanted: readonly SerialWant[] = [];
  private looks: { want: SerialWant; until: number }[] = [];
  private ports: PortInReach[] = [];
  private problem: string | undefined;
  private off: () => void = () => {};
  private told = '';

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

  want(wanted: readonly Want[]): void {
    this.wanted = wanted.filter((one) => one.source === 'serial');
    this.settle();
  }

  look(at: Want, seconds: number): void {
    if (at.source !== 'serial') return;
    this.looks = this.looks.filter((look) => look.want.port !== at.port);
    this.looks.push({ want: at, until: this.clock.now() + seconds * 1000 });
    this.settle();
  }

  async stop(): Promise<void> {
    this.off();
    const { events } = this;
    this.events = null;
    this.told = '';
    const keepers = [...this.keepers.values()];
    this.keepers.clear();
    await Promise.all(keepers.map((keeper) => keeper.stop()));
    events?.status({ source: 'serial', state: 'off', devices: [] });
  }

  /** Looks what is plugged in, over and over. */
  private async turn(): Promise<void> {
    try {
      this.ports = await this.list();
      this.problem = undefined;
    } catch (error) {
      this.problem = `The serial ports can't be listed (${error instanceof Error ? error.message : String(error)}).`;
    }
    if (!this.events) return;
    this.settle();
    this.off = this.clock.after(LIST_EVERY, () => void this.turn());
  }

  private settle(): void {
    if (!this.events) return;
    this.looks = this.looks.filter((look) => look.until > this.clock.now());
    const wants = byPort([...this.wanted, ...this.looks.map((look) => look.want)]);
    for (const [id, keeper] of this.keepers) {
      if (wants.has(id)) continue;
      this.keepers.delete(id);
      void keeper.stop();
    }
    for (const want of wants.values()) this.keep(want);
    this.tell();
  }

  private keep(want: PortWant): void {
    const keeper = this.keepers.get(want.port) ?? this.newKeeper(want);
    this.keepers.set(want.port, keeper);
    keeper.rewant(want);
    const port = this.ports.find((one) => one.id === want.port);
    void keeper.found(port?.path ?? null, port?.name);
  }

  private newKeeper(want: PortWant): PortKeeper {
    return new PortKeeper(want, this.open, this.clock, {
      frame: (line) => this.events?.frame(line),
      changed: () => this.tell(),
    });
  }

  private tell(): void {
    const listed = this.ports.filter((port) => !this.keepers.has(port.id)).map(deviceOf);
    const kept = [...this.keepers.values()].map((keeper) => keeper.device);
    const status: SourceStatus = {
      source: 'serial',
      state: this.problem === undefined ? 'running' : 'failed',
      ...(this.problem !== undefined && {
        problem: this.problem,
        mend: 'Unplug the boards and plug them in again; it is tried again by itself.',
      }),
      devices: structuredClone([...kept, ...listed]),
    };
    const text = JSON.stringify(status);
    if (text === this.told) return;
    this.told = text;
    this.events?.status(status);
  }
}

/** Several probes share a port: each poll once, and the first rate that one names. */
function byPort(wants: readonly SerialWant[]): Map<string, PortWant> {
  const ports = new Map<string, PortWant>();
  for (const { port, rate, modbus } of wants) {
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

/** A port that nobody wants is only named; whether it may be used is known without opening it. */
const deviceOf = ({ id, path, name }: PortInReach): Device => ({
  id,
  name,
  link: 'seen',
  ...(!mayUse(path) && portTrouble(path, 'EACCES')),
});
