import type { BleLine } from '../../../shared/recording.ts';
import { backOff, type Clock } from '../clock.ts';
import type { Device } from '../source.ts';
import type { BleWant } from '../want.ts';
import { BATTERY } from './choose.ts';
import {
  MOST_DEVICES,
  dueFrames,
  newKnown,
  noteBattery,
  noteParts,
  noteUnheard,
  stale,
  type Known,
} from './devices.ts';
import { RadioFault, type Advert, type Radio } from './radio.ts';
import { createScanner, type Scanner } from './scanner.ts';
import { Session } from './session.ts';
import { Wishes, needsLink } from './wishes.ts';

export type KeeperEvents = {
  frame(line: Omit<BleLine, 't'>): void;
  devices(list: Device[]): void;
  /** The controller's numbers of the links that stand. */
  links(handles: number[]): void;
  /** Nothing more will come of this process. */
  stuck(why: string): void;
};

const FIRST_RETRY = 500;
const LAST_RETRY = 30_000;
/** A link that held so long, ms, was a good one: the next try comes soon. */
const GOOD_LINK = 30_000;
/** A device that is heard so rarely, ms, is asked whenever it is heard. */
const RARE = 8000;
const WATCH_EVERY = 5000;
/** Device lists are told at most so often, ms, but for a change of a link. */
const TELL_EVERY = 400;
/** So many devices above the bound are swept off at once. */
const SWEEP_AT = 20;

/** Keeps the wanted devices linked and tells what is in reach. Works on any Radio; one lifetime a process. */
export class Keeper {
  private readonly radio: Radio;
  private readonly clock: Clock;
  private readonly events: KeeperEvents;
  private readonly random: () => number;
  private readonly known = new Map<string, Known>();
  private readonly queue: string[] = [];
  private readonly wishes = new Wishes();
  private busy = false;
  private over = false;
  private readonly scanner: Scanner;
  private telling: (() => void) | null = null;
  private toldLast = '';
  private readonly offHeard: () => void;
  private offWatch: () => void = () => {};

  constructor(radio: Radio, clock: Clock, events: KeeperEvents, random: () => number = Math.random) {
    this.radio = radio;
    this.clock = clock;
    this.events = events;
    this.random = random;
    this.scanner = createScanner(radio, clock, (why) => {
      if (!this.over) events.stuck(why);
    });
    this.offHeard = radio.onAdvert((advert) => this.heard(advert));
    this.scanner.again();
    this.watchAgain();
  }

  want(wanted: readonly BleWant[]): void {
    this.wishes.wanted = wanted;
    for (const { device } of wanted) this.meet(device.toLowerCase());
    this.settle();
  }

  look(want: BleWant, seconds: number): void {
    this.wishes.look(want, this.clock.now() + seconds * 1000);
    this.meet(want.device.toLowerCase());
    this.clock.after(seconds * 1000 + 1, () => this.settle());
    this.settle();
  }

  async stop(): Promise<void> {
    this.over = true;
    this.telling?.();
    this.offHeard();
    this.offWatch();
    for (const { session } of this.known.values()) session?.stop();
    await this.radio.close();
  }

  /** Brings the links in line with what is wanted now. */
  private settle(): void {
    if (this.over) return;
    this.wishes.expire(this.clock.now());
    for (const known of this.known.values()) {
      const wants = this.wishes.of(known.id);
      if (known.link && !needsLink(wants)) void this.end(known);
      else if (known.session) this.apply(known, wants);
    }
    this.changed();
  }

  private meet(id: string): Known {
    const before = this.known.get(id);
    if (before) return before;
    if (this.known.size >= MOST_DEVICES + SWEEP_AT) this.forgetStale();
    const known = newKnown(id);
    this.known.set(id, known);
    return known;
  }

  private heard(advert: Advert): void {
    const now = this.clock.now();
    const known = this.meet(advert.device);
    const silentFor = now - known.heardAt;
    this.scanner.heard();
    known.heardAt = now;
    known.connectable = advert.connectable;
    known.device.rssi = advert.rssi;
    if (advert.name) known.device.name = advert.name;
    const wants = this.wishes.of(known.id);
    noteParts(known.device, advert);
    for (const line of dueFrames(known, advert, now, wants.length > 0)) this.events.frame(line);
    if (known.device.link === 'lost' && !known.link && !needsLink(wants)) {
      known.device.link = 'seen';
      delete known.device.problem;
    }
    if (needsLink(wants) && !known.link && (now >= known.retryAt || silentFor > RARE)) this.enqueue(known);
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
      if (known && !known.link && needsLink(this.wishes.of(id))) await this.connect(known);
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
      this.apply(known, this.wishes.of(known.id));
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
          if (line.characteristic === BATTERY) noteBattery(device, line.bytes);
          this.events.frame(line);
        },
        parts: (parts) => {
          device.parts = [...(device.parts ?? []).filter((one) => one.advert !== undefined), ...parts];
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

  private apply(known: Known, wants: readonly BleWant[]): void {
    const { session } = known;
    session?.apply(wants).catch((error: unknown) => {
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
    known.failures = held > GOOD_LINK ? 0 : known.failures + 1;
    const wanted = needsLink(this.wishes.of(known.id));
    known.device.link = wanted ? 'lost' : 'seen';
    if (wanted) known.device.problem ??= 'The link was lost; it is being looked for.';
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
    known.retryAt = this.clock.now() + backOff(failures, FIRST_RETRY, LAST_RETRY, this.random);
  }

  private watchAgain(): void {
    if (!this.over) this.offWatch = this.clock.after(WATCH_EVERY, () => this.watch());
  }

  private watch(): void {
    const now = this.clock.now();
    this.scanner.watch();
    this.forgetStale();
    for (const known of this.known.values()) if (this.wishes.of(known.id).length > 0) noteUnheard(known, now);
    this.changed();
    this.watchAgain();
  }

  private forgetStale(): void {
    const isWanted = (id: string): boolean => this.wishes.of(id).length > 0;
    for (const known of stale(this.known.values(), this.clock.now(), isWanted)) {
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
    this.telling = this.clock.after(TELL_EVERY, () => {
      this.telling = null;
      this.tell();
    });
  }

  private tell(): void {
    const devices = [...this.known.values()].map((known) => known.device);
    const text = JSON.stringify(devices);
    if (text !== this.toldLast) this.events.devices(structuredClone(devices));
    this.toldLast = text;
  }
}

const sentenceOf = (error: unknown): string =>
  `It can't be used at the moment (${error instanceof Error ? error.message : String(error)}); it is tried again by itself.`;
