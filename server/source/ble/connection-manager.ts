import { messageOf } from '../../../shared/fault.ts';
import type { BleLine } from '../../../shared/recording.ts';
import { backOff, type Clock } from '../timing.ts';
import type { Device } from '../source.ts';
import type { BleSubscription } from '../subscription.ts';
import { BATTERY_LEVEL_UUID } from './choose.ts';
import {
  MAX_DEVICES,
  dueFrames,
  newKnown,
  noteBattery,
  noteParts,
  markSilent,
  stale,
  type Known,
} from './known-devices.ts';
import { RadioFault, type Advert, type Radio } from './radio/radio.ts';
import { createScanner, type Scanner } from './radio/scanner.ts';
import { Session } from './session.ts';
import { Subscriptions, needsLink } from './subscriptions.ts';

type ConnectionEvents = {
  frame(line: Omit<BleLine, 't'>): void;
  devices(list: Device[]): void;
  /** The controller's numbers of the links that stand. */
  links(handles: number[]): void;
  /** Nothing more will come of this process. */
  stuck(why: string): void;
};

const FIRST_RETRY_MS = 500;
const MAX_RETRY_MS = 30_000;
/** A link that held so long, ms, was a good one: the next try comes soon. */
const STABLE_LINK_MS = 30_000;
/** A device that advertises so rarely, ms, is polled whenever it advertises. */
const RARE_ADVERT_MS = 8000;
const WATCH_EVERY_MS = 5000;
/** Device lists are emitted at most so often, ms, except when a link changes. */
const EMIT_EVERY_MS = 400;
/** So many devices above the bound are swept off at once. */
const SWEEP_DEVICES = 20;

/**
 * Keeps the subscribed devices linked and emits what is in range. Works on any Radio; one lifetime a process.
 */
export class ConnectionManager {
  private readonly radio: Radio;
  private readonly clock: Clock;
  private readonly events: ConnectionEvents;
  private readonly random: () => number;
  private readonly known = new Map<string, Known>();
  private readonly queue: string[] = [];
  private readonly subscriptions = new Subscriptions();
  private busy = false;
  private over = false;
  private readonly scanner: Scanner;
  private telling: (() => void) | null = null;
  private lastEmitted = '';
  private readonly unsubscribeAdverts: () => void;
  private offWatch: () => void = () => {};

  constructor(radio: Radio, clock: Clock, events: ConnectionEvents, random: () => number = Math.random) {
    this.radio = radio;
    this.clock = clock;
    this.events = events;
    this.random = random;
    this.scanner = createScanner(radio, clock, (why) => {
      if (!this.over) events.stuck(why);
    });
    this.unsubscribeAdverts = radio.onAdvert((advert) => this.onAdvert(advert));
    this.scanner.again();
    this.watchAgain();
  }

  subscribe(subscriptions: readonly BleSubscription[]): void {
    this.subscriptions.permanent = subscriptions;
    for (const { device } of subscriptions) this.getOrCreate(device.toLowerCase());
    this.reconcile();
  }

  look(subscription: BleSubscription, seconds: number): void {
    this.subscriptions.look(subscription, this.clock.now() + seconds * 1000);
    this.getOrCreate(subscription.device.toLowerCase());
    this.clock.after(seconds * 1000 + 1, () => this.reconcile());
    this.reconcile();
  }

  async stop(): Promise<void> {
    this.over = true;
    this.telling?.();
    this.unsubscribeAdverts();
    this.offWatch();
    for (const { session } of this.known.values()) session?.stop();
    await this.radio.close();
  }

  /** Brings the links in line with the subscriptions. */
  private reconcile(): void {
    if (this.over) return;
    this.subscriptions.expire(this.clock.now());
    for (const known of this.known.values()) {
      const subscriptions = this.subscriptions.of(known.id);
      if (known.link && !needsLink(subscriptions)) void this.end(known);
      else if (known.session) this.apply(known, subscriptions);
    }
    this.changed();
  }

  private getOrCreate(id: string): Known {
    const before = this.known.get(id);
    if (before) return before;
    if (this.known.size >= MAX_DEVICES + SWEEP_DEVICES) this.forgetStale();
    const known = newKnown(id);
    this.known.set(id, known);
    return known;
  }

  private onAdvert(advert: Advert): void {
    const now = this.clock.now();
    const known = this.getOrCreate(advert.device);
    const silentFor = now - known.seenAt;
    this.scanner.noteAdvert();
    known.seenAt = now;
    known.connectable = advert.connectable;
    known.device.rssi = advert.rssi;
    if (advert.name) known.device.name = advert.name;
    const subscriptions = this.subscriptions.of(known.id);
    noteParts(known.device, advert);
    for (const line of dueFrames(known, advert, now, subscriptions.length > 0)) this.events.frame(line);
    if (known.device.link === 'lost' && !known.link && !needsLink(subscriptions)) {
      known.device.link = 'seen';
      delete known.device.problem;
    }
    if (needsLink(subscriptions) && !known.link && (now >= known.retryAt || silentFor > RARE_ADVERT_MS))
      this.enqueue(known);
    this.changed();
  }

  private enqueue(known: Known): void {
    if (this.queue.includes(known.id) || known.device.link === 'connecting') return;
    if (!known.connectable) {
      known.device.problem = 'It only advertises and does not accept connections.';
      return;
    }
    this.queue.push(known.id);
    void this.pump();
  }

  /** One connect at a time, since the controller can do no more. */
  private async pump(): Promise<void> {
    if (this.busy || this.over) return;
    this.busy = true;
    for (let id = this.queue.shift(); id !== undefined && !this.over; id = this.queue.shift()) {
      const known = this.known.get(id);
      if (known && !known.link && needsLink(this.subscriptions.of(id))) await this.connect(known);
    }
    this.busy = false;
  }

  private async connect(known: Known): Promise<void> {
    known.device.link = 'connecting';
    this.changed();
    try {
      const link = await this.radio.connect(known.id, () => this.lost(known));
      known.link = link;
      known.linkedAt = this.clock.now();
      known.device.link = 'connected';
      delete known.device.problem;
      known.session = this.sessionOf(known);
      this.linksChanged();
      this.apply(known, this.subscriptions.of(known.id));
    } catch (error) {
      this.failed(known, error);
    }
    // Connecting can end a scan without a word.
    this.scanner.again();
  }

  private sessionOf(known: Known): Session {
    if (!known.link) throw new RadioFault('there is no link');
    const { device } = known;
    return new Session(
      known.id,
      known.link,
      known.memory,
      {
        frame: (line) => {
          if (line.characteristic === BATTERY_LEVEL_UUID) noteBattery(device, line.bytes);
          this.events.frame(line);
        },
        parts: (parts) => {
          device.parts = [...(device.parts ?? []).filter((each) => each.advert !== undefined), ...parts];
          this.changed();
        },
        problem: (sentence) => {
          if (sentence === null) delete device.problem;
          else device.problem = sentence;
          this.changed();
        },
        rssi: (dBm) => {
          device.rssi = dBm;
          this.changed();
        },
      },
      this.clock,
    );
  }

  private apply(known: Known, subscriptions: readonly BleSubscription[]): void {
    const { session } = known;
    session?.apply(subscriptions).catch((error: unknown) => {
      if (known.session !== session) return;
      known.device.problem = sentenceOf(error);
      void this.end(known);
    });
  }

  private async end(known: Known): Promise<void> {
    await known.link?.close().catch((error: unknown) => this.failed(known, error));
  }

  private lost(known: Known): void {
    const held = known.linkedAt > 0 ? this.clock.now() - known.linkedAt : 0;
    known.session?.stop();
    known.session = null;
    known.link = null;
    known.failures = held > STABLE_LINK_MS ? 0 : known.failures + 1;
    const shouldLink = needsLink(this.subscriptions.of(known.id));
    known.device.link = shouldLink ? 'lost' : 'seen';
    if (shouldLink) known.device.problem ??= 'The link was lost; it is being looked for.';
    this.retryLater(known);
    this.linksChanged();
  }

  private failed(known: Known, error: unknown): void {
    if (error instanceof RadioFault && error.stuck) this.events.stuck(error.message);
    known.failures += 1;
    known.device.link = 'lost';
    known.device.problem = sentenceOf(error);
    this.retryLater(known);
    this.changed(true);
  }

  private retryLater(known: Known): void {
    const failures = Math.max(0, known.failures - 1);
    known.retryAt = this.clock.now() + backOff(failures, FIRST_RETRY_MS, MAX_RETRY_MS, this.random);
  }

  private watchAgain(): void {
    if (!this.over) this.offWatch = this.clock.after(WATCH_EVERY_MS, () => this.watch());
  }

  private watch(): void {
    const now = this.clock.now();
    this.scanner.watch();
    this.forgetStale();
    for (const known of this.known.values())
      if (this.subscriptions.of(known.id).length > 0) markSilent(known, now);
    this.changed();
    this.watchAgain();
  }

  private forgetStale(): void {
    const isSubscribed = (id: string): boolean => this.subscriptions.of(id).length > 0;
    for (const known of stale(this.known.values(), this.clock.now(), isSubscribed)) {
      this.known.delete(known.id);
      this.radio.forget(known.id);
    }
  }

  private linksChanged(): void {
    const handles = [...this.known.values()].flatMap((known) =>
      known.link?.handle == null ? [] : [known.link.handle],
    );
    this.events.links(handles);
    this.changed(true);
  }

  private changed(now = false): void {
    if (this.over || (this.telling && !now)) return;
    this.telling?.();
    this.telling = null;
    if (now) return this.tell();
    this.telling = this.clock.after(EMIT_EVERY_MS, () => {
      this.telling = null;
      this.tell();
    });
  }

  private tell(): void {
    const devices = [...this.known.values()].map((known) => known.device);
    const text = JSON.stringify(devices);
    if (text !== this.lastEmitted) this.events.devices(structuredClone(devices));
    this.lastEmitted = text;
  }
}

const sentenceOf = (error: unknown): string =>
  `It can't be used at the moment (${messageOf(error)}); it is tried again by itself.`;
