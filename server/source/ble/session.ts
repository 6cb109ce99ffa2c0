import type { BleLine } from '../../../shared/recording.ts';
import type { Clock } from '../timing.ts';
import type { Part } from '../source.ts';
import type { BleSubscription } from '../subscription.ts';
import { BATTERY_LEVEL_UUID, choose, commands, missing, type Chosen } from './choose.ts';
import { RadioFault, type Characteristic, type Link, type Unsubscribe } from './radio/radio.ts';

type SessionEvents = {
  frame(line: Omit<BleLine, 't'>): void;
  parts(parts: Part[]): void;
  /** Something about this device that the person should know; null takes it back. */
  problem(sentence: string | null): void;
  rssi(dBm: number): void;
};

/** While linked, a device does not advertise, so its signal is asked for. ms */
const RSSI_EVERY_MS = 10_000;
/** One reading a minute shows that a silent device is still there. ms */
const PULSE_EVERY_MS = 60_000;
/** A device that is asked often and fails now and then is not gone. */
const MAX_MISSES = 2;
/** Some devices, and some damaged answers, tell only a part of what there is: the next link may tell all. ms */
const DISCOVER_AGAIN_MS = 60_000;

const keyOf = (characteristic: Characteristic): string =>
  `${characteristic.service}/${characteristic.characteristic}/${characteristic.instance}`;

/** What is known of a device from earlier links. */
export type DeviceMemory = {
  /** Some answer no question after one for names: those are not asked again. */
  answersNames: boolean;
};

/**
 * One linked device: finds what is subscribed to on it, subscribes or reads, and notices when it does not
 * answer any more.
 */
export class Session {
  private readonly device: string;
  private readonly link: Link;
  private readonly events: SessionEvents;
  private readonly clock: Clock;
  private readonly memory: DeviceMemory;
  private readonly timers = new Map<string, Unsubscribe>();
  private readonly subscribed = new Set<string>();
  private readonly emitted = new Set<string>();
  private readonly names = new Map<string, Partial<Part>>();
  private all: readonly Characteristic[] = [];
  private over = false;

  constructor(device: string, link: Link, memory: DeviceMemory, events: SessionEvents, clock: Clock) {
    this.device = device;
    this.link = link;
    this.events = events;
    this.clock = clock;
    this.memory = memory;
  }

  /**
   * May be called again with other subscriptions while it is linked. @throws RadioFault when the device does
   * not answer
   */
  async apply(subscriptions: readonly BleSubscription[]): Promise<void> {
    this.all = await this.link.discover();
    // Every device has a name at least.
    if (this.all.length === 0) throw new RadioFault('it did not say what it offers');
    this.tellParts();
    const lacking = missing(this.all, subscriptions);
    const errors = lacking.map((uuid) => `It has no characteristic ${uuid}.`);
    const chosenOnes = choose(this.all, subscriptions);
    if (chosenOnes.length === 0 || lacking.length > 0) this.linkAnew();
    for (const chosen of chosenOnes) {
      if (this.subscribed.has(keyOf(chosen.of)) || this.over) continue;
      this.subscribed.add(keyOf(chosen.of));
      errors.push(...(await this.hear(chosen)));
    }
    errors.push(...(await this.command(subscriptions)));
    this.events.problem(errors[0] ?? null);
    this.watch();
    // Last, since they are the least: values flow by now.
    for (const { of, isTemperature } of chosenOnes) if (isTemperature) await this.name(of);
  }

  stop(): void {
    this.over = true;
    for (const off of this.timers.values()) off();
    this.timers.clear();
  }

  /** @returns what did not work, in words, where the rest may */
  private async hear({ of, every }: Chosen): Promise<string[]> {
    const errors: string[] = [];
    const subscribed =
      of.can.notify &&
      (await this.tolerate(() => this.link.subscribe(of, (bytes) => this.tell(of, bytes)), errors));
    if (of.can.read) await this.tolerate(async () => this.tell(of, await this.link.read(of)), errors);
    if (!subscribed && of.can.read && of.characteristic !== BATTERY_LEVEL_UUID) this.poll(of, every * 1000);
    if (!subscribed && !of.can.read) errors.push(`${of.characteristic} can neither notify nor be read.`);
    return subscribed ? [] : errors;
  }

  private async name(of: Characteristic): Promise<void> {
    if (!this.memory.answersNames || this.names.has(keyOf(of)) || this.over) return;
    await this.tolerate(async () => {
      const { name, format } = await this.describe(of);
      this.names.set(keyOf(of), {
        ...(name && { name }),
        ...(format && { format: Buffer.from(format).toString('hex') }),
      });
      this.tellParts();
    }, []);
    // Had the device fallen silent, this would not be reached.
    this.memory.answersNames = true;
  }

  private async describe(of: Characteristic): ReturnType<Link['describe']> {
    try {
      return await this.link.describe(of);
    } catch (error) {
      if (error instanceof RadioFault && /no answer/.test(error.message)) this.memory.answersNames = false;
      throw error;
    }
  }

  /** Each start command once a link, and again only when it was changed. */
  private async command(subscriptions: readonly BleSubscription[]): Promise<string[]> {
    const errors: string[] = [];
    for (const { to, bytes, uuid } of commands(this.all, subscriptions)) {
      const key = `${uuid}=${Buffer.from(bytes).toString('hex')}`;
      if (this.emitted.has(key)) continue;
      this.emitted.add(key);
      if (to) await this.tolerate(() => this.link.write(to, bytes), errors);
      else errors.push(`It has no characteristic ${uuid} to write the start command to.`);
    }
    return errors;
  }

  /** A refusal concerns one characteristic; a device that answers nothing at all is found out by the pulse. */
  private async tolerate(act: () => Promise<unknown>, errors: string[]): Promise<boolean> {
    try {
      await act();
      return true;
    } catch (error) {
      if (!(error instanceof RadioFault) || error.stuck || this.over) throw error;
      if (!/refused|no answer|no characteristic/.test(error.message)) throw error;
      errors.push(`It did not do all that was asked of it (${error.message}).`);
      // A question without an answer may have blocked the link: the next one shows.
      if (/no answer/.test(error.message)) await this.pulse();
      return false;
    }
  }

  private linkAnew(): void {
    this.timers.get('anew')?.();
    this.timers.set(
      'anew',
      this.clock.after(DISCOVER_AGAIN_MS, () => void this.link.close().catch(() => {})),
    );
  }

  private poll(of: Characteristic, ms: number): void {
    this.every(keyOf(of), ms, async () => this.tell(of, await this.link.read(of)));
  }

  /** Once a link: subscriptions that are renewed more often than the pulse must not put it off. */
  private watch(): void {
    if (this.timers.has('pulse')) return;
    this.every('rssi', RSSI_EVERY_MS, async () => this.events.rssi(await this.link.rssi()));
    this.every('pulse', PULSE_EVERY_MS, () => this.pulse());
  }

  private async pulse(): Promise<void> {
    const readable = this.all.filter((each) => each.can.read);
    const characteristic = readable.find((of) => of.characteristic === BATTERY_LEVEL_UUID) ?? readable[0];
    if (!characteristic) return;
    const bytes = await this.link.read(characteristic);
    if (characteristic.characteristic === BATTERY_LEVEL_UUID) this.tell(characteristic, bytes);
  }

  /** Does `act` over and over; after some misses in a row the link is taken for dead and ended. */
  private every(key: string, ms: number, act: () => Promise<unknown>): void {
    this.timers.get(key)?.();
    let misses = 0;
    const again = (): void => {
      if (!this.over)
        this.timers.set(
          key,
          this.clock.after(ms, () => void turn()),
        );
    };
    const turn = async (): Promise<void> => {
      try {
        await act();
        misses = 0;
      } catch {
        misses += 1;
      }
      if (misses < MAX_MISSES) again();
      else if (!this.over) await this.link.close().catch(() => {});
    };
    again();
  }

  private tell(of: Characteristic, bytes: Uint8Array): void {
    if (this.over || bytes.length === 0) return;
    this.events.frame({
      source: 'ble',
      device: this.device,
      ...this.addressOf(of),
      bytes: Buffer.from(bytes).toString('hex'),
    });
  }

  private tellParts(): void {
    this.events.parts(this.all.map((of) => ({ ...this.addressOf(of), ...this.names.get(keyOf(of)) })));
  }

  /** The instance only where there is more than one. */
  private addressOf(of: Characteristic): { service: string; characteristic: string; instance?: number } {
    const { service, characteristic, instance } = of;
    const several = this.all.some(
      (candidate) =>
        candidate.service === service &&
        candidate.characteristic === characteristic &&
        candidate.instance !== instance,
    );
    return several ? { service, characteristic, instance } : { service, characteristic };
  }
}
