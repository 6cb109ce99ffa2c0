import type { Device, Source, SourceEvents, SourceStatus } from '../source.ts';
import type { BleWant, Want } from '../want.ts';
import type { FromChild } from './messages.ts';
import type { RadioState } from './radio.ts';
import { Supervisor } from './supervise.ts';
import { troubleOf } from './trouble.ts';

export type BleOptions = {
  /** The bundled child.ts: the radio runs in a process of its own. */
  child: string;
  env?: Record<string, string>;
  execArgv?: readonly string[];
};

/** Restarting a process to look again, ms: an adapter is plugged in in front of the page, a kernel is not. */
const PATIENCE: Partial<Record<RadioState, number>> = { 'no-kernel': 60_000, unsupported: 60_000 };
const USUAL_PATIENCE = 8000;
/** The process restarts and is back so soon, ms, that nobody needs to be told. */
const UNTOLD = 1500;

/** Bluetooth: adverts of everything in reach, and GATT of what is wanted or looked at. */
export class BleSource implements Source {
  readonly kind = 'ble';
  private readonly options: BleOptions;
  private events: SourceEvents | null = null;
  private process: Supervisor | null = null;
  private wanted: BleWant[] = [];
  private state: RadioState = 'starting';
  private trouble: Pick<SourceStatus, 'problem' | 'mend'> = {};
  private devices: Device[] = [];

  constructor(options: BleOptions) {
    this.options = options;
  }

  start(events: SourceEvents): void {
    if (this.process) return;
    this.events = events;
    this.process = new Supervisor({
      ...this.options,
      heard: (message) => this.heard(message),
      ended: (why, again) => this.ended(why, again),
    });
    this.tell();
  }

  want(wanted: readonly Want[]): void {
    this.wanted = wanted.filter((one) => one.source === 'ble');
    this.process?.say({ say: 'want', wanted: this.wanted });
  }

  look(at: Want, seconds: number): void {
    if (at.source === 'ble') this.process?.say({ say: 'look', want: at, seconds });
  }

  async stop(): Promise<void> {
    const running = this.process;
    this.process = null;
    await running?.stop();
    this.state = 'starting';
    this.trouble = {};
    this.devices = [];
    this.tell();
    this.events = null;
  }

  private heard(message: FromChild): void {
    if (!this.process) return;
    if (message.say === 'frame') this.events?.frame(message.line);
    else if (message.say === 'devices') {
      this.devices = message.devices;
      this.tell();
    } else if (message.say === 'state' && message.state !== 'starting') this.turned(message.state);
  }

  private turned(state: RadioState): void {
    this.state = state;
    this.trouble = troubleOf(state) ?? {};
    this.process?.waitAtMost(PATIENCE[state] ?? USUAL_PATIENCE);
    if (state === 'on') this.process?.say({ say: 'want', wanted: this.wanted });
    else this.devices = this.devices.map(unlinked);
    this.tell();
  }

  private ended(why: string, again: number): void {
    this.devices = this.devices.map(unlinked);
    if (this.state === 'on' || this.state === 'starting') {
      this.state = 'starting';
      const words = why ? ` (${why})` : '';
      this.trouble =
        again < UNTOLD
          ? {}
          : {
              problem: `The radio's process keeps ending${words}; it is started again by itself.`,
              mend: 'Where this goes on, unplug the adapter and plug it in again, and look with "peelside doctor".',
            };
    }
    this.tell();
  }

  private tell(): void {
    this.events?.status({
      source: 'ble',
      state: this.stateNow(),
      ...this.trouble,
      devices: this.devices,
    });
  }

  private stateNow(): SourceStatus['state'] {
    if (!this.process) return 'off';
    if (this.trouble.problem !== undefined) return 'failed';
    return this.state === 'on' ? 'running' : 'starting';
  }
}

/** With the process its links are gone; the devices are still where they were. */
const unlinked = (device: Device): Device =>
  device.link === 'connected' || device.link === 'connecting' ? { ...device, link: 'lost' } : device;
