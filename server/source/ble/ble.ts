import type { Device, Source, SourceEvents, SourceStatus } from '../source.ts';
import type { BleSubscription, Subscription } from '../subscription.ts';
import type { FromChild } from './process/process-messages.ts';
import type { RadioState } from './radio/radio.ts';
import { Supervisor } from './process/supervise.ts';
import { radioErrorOf } from './radio/radio-error.ts';

type BleOptions = {
  /** The bundled child.ts: the radio runs in a process of its own. */
  child: string;
  env?: Record<string, string>;
  execArgv?: readonly string[];
};

/** Restarting a process to look again, ms: an adapter is plugged in in front of the page, a kernel is not. */
const RETRY_MS: Partial<Record<RadioState, number>> = { 'no-kernel': 60_000, unsupported: 60_000 };
const USUAL_WAIT_MS = 8000;
/** The process restarts and is back so soon, ms, that no status is emitted. */
const QUIET_RESTART_MS = 1500;

/** Bluetooth: adverts of everything in range, and GATT of what is subscribed to. */
export class BleSource implements Source {
  readonly kind = 'ble';
  private readonly options: BleOptions;
  private events: SourceEvents | null = null;
  private process: Supervisor | null = null;
  private subscriptions: BleSubscription[] = [];
  private state: RadioState = 'starting';
  private error: Pick<SourceStatus, 'problem' | 'remedy'> = {};
  private devices: Device[] = [];

  constructor(options: BleOptions) {
    this.options = options;
  }

  start(events: SourceEvents): void {
    if (this.process) return;
    this.events = events;
    this.process = new Supervisor({
      ...this.options,
      onMessage: (message) => this.onMessage(message),
      ended: (why, again) => this.ended(why, again),
    });
    this.tell();
  }

  subscribe(subscriptions: readonly Subscription[]): void {
    this.subscriptions = subscriptions.filter((each) => each.source === 'ble');
    this.process?.send({ type: 'subscribe', subscriptions: this.subscriptions });
  }

  look(at: Subscription, seconds: number): void {
    if (at.source === 'ble') this.process?.send({ type: 'look', subscription: at, seconds });
  }

  async stop(): Promise<void> {
    const running = this.process;
    this.process = null;
    await running?.stop();
    this.state = 'starting';
    this.error = {};
    this.devices = [];
    this.tell();
    this.events = null;
  }

  private onMessage(message: FromChild): void {
    if (!this.process) return;
    if (message.type === 'frame') this.events?.frame(message.line);
    else if (message.type === 'devices') {
      this.devices = message.devices;
      this.tell();
    } else if (message.type === 'state' && message.state !== 'starting') this.turned(message.state);
  }

  private turned(state: RadioState): void {
    this.state = state;
    this.error = radioErrorOf(state) ?? {};
    this.process?.waitAtMost(RETRY_MS[state] ?? USUAL_WAIT_MS);
    if (state === 'on') this.process?.send({ type: 'subscribe', subscriptions: this.subscriptions });
    else this.devices = this.devices.map(unlinked);
    this.tell();
  }

  private ended(why: string, again: number): void {
    this.devices = this.devices.map(unlinked);
    if (this.state === 'on' || this.state === 'starting') {
      this.state = 'starting';
      const words = why ? ` (${why})` : '';
      this.error =
        again < QUIET_RESTART_MS
          ? {}
          : {
              problem: `The radio's process keeps ending${words}; it is started again by itself.`,
              remedy:
                'Where this goes on, unplug the adapter and plug it in again, and look with "peelside doctor".',
            };
    }
    this.tell();
  }

  private tell(): void {
    this.events?.status({
      source: 'ble',
      state: this.stateNow(),
      ...this.error,
      devices: this.devices,
    });
  }

  private stateNow(): SourceStatus['state'] {
    if (!this.process) return 'off';
    if (this.error.problem !== undefined) return 'failed';
    return this.state === 'on' ? 'running' : 'starting';
  }
}

/** With the process its links are gone; the devices are still where they were. */
const unlinked = (device: Device): Device =>
  device.link === 'connected' || device.link === 'connecting' ? { ...device, link: 'lost' } : device;
