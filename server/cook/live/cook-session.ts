import { settings as settingsSchema, type Settings } from '../../../shared/api/api.ts';
import { isTap, type CookEvent } from '../../../shared/event.ts';
import { Fault } from '../../../shared/fault.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { RecordingHeader, RecordingLine } from '../../../shared/recording.ts';
import type { LiveDocument } from '../../hub/broadcast.ts';
import type { StoredReading } from '../../store/store.ts';
import { shownFor } from './clock.ts';
import { CookTime, type Anchor } from './cook-time.ts';
import { EveningService, type Instant } from '../evening/evening-service.ts';
import { LONGEST_COOK } from './cook-limits.ts';
import { nowOf } from './live-document.ts';
import { isOnStone } from '../../../shared/cook/run.ts';
import { REHEARSAL_PACE, rehearsalOf, type Player } from '../rehearsal/player.ts';
import type { Rehearsing } from '../rehearsal/rehearsal-recording.ts';
import { endPlayed, playOn, playTo, removePlayed, takeWithin } from '../rehearsal/rehearsal.ts';
import { RunningCook } from './running.ts';
import type { SessionParts } from './session-parts.ts';
import { NO_SOURCES, type SourcesInUse } from './sources-in-use.ts';
import { Tail } from './tail.ts';
import { GrillService } from './grill-service.ts';
import { liveHeader, usualTimes } from '../rehearsal/starting-point.ts';

/** A cook nobody has touched for this long is over: a new fire is a new cook, ms. */
const FORGOTTEN_AFTER_MS = 12 * 3600_000;
const ANCHOR_KEY = 'time-anchor';
/** That a damaged database was quarantined is shown for so long, ms. */
const SHOW_REPAIR_NOTE_MS = 15 * 60_000;
/** A rehearsal does not play on while the machine sleeps, s. */
const LONGEST_STEP_SECONDS = 2;

/** Which cook is on and what time it is there: a live one by the monotonic clock, a rehearsal by its player. */
export class CookSession implements LiveDocument {
  readonly parts: SessionParts;
  readonly evening: EveningService;
  readonly grills: GrillService;
  private set: Settings | null = null;
  cook: RunningCook | null = null;
  player: Player | null = null;
  private readonly time: CookTime;
  private readonly repairNote: () => string | null;
  private lastAdvanceMs: number;
  private lastTick = -Infinity;
  /** A cook that a person ended does not start again by itself. */
  readonly tail: Tail;
  /** The rehearsal plays as if it were the plan's evening. */
  private byPlan = false;
  private sources = NO_SOURCES;

  constructor(parts: SessionParts) {
    this.parts = parts;
    this.grills = new GrillService(parts.store);
    this.evening = new EveningService(parts.store, () => this.grills.prior());
    this.tail = new Tail(parts.store);
    this.time = new CookTime(parts.clock);
    this.repairNote = shownFor(SHOW_REPAIR_NOTE_MS, parts.clock, parts.store.repairNote);
    this.lastAdvanceMs = parts.clock.mono();
  }

  /** Seconds since the cook started. */
  t(): number {
    return this.player ? this.player.t : this.time.t();
  }

  /** Keeps where the cook's time stands, for a restart. */
  private keepTime(cook: RunningCook): void {
    this.parts.store.putSetting(ANCHOR_KEY, this.time.anchor(cook.id));
  }

  /** Looks whether the wall clock was set. @returns `at`, ms since the epoch, on the labels of the live cook */
  labelOf(at: number): number {
    const { cook } = this;
    if (!cook || this.player) return at;
    const by = this.time.noticeStep(cook.startedAt);
    if (by !== 0) cook.redate(by);
    return this.time.labelOf(at);
  }

  /** To be called several times a second: plays the recording on, and notices silence. */
  advance(): void {
    const mono = this.parts.clock.mono();
    const seconds = Math.min(LONGEST_STEP_SECONDS, (mono - this.lastAdvanceMs) / 1000);
    this.lastAdvanceMs = mono;
    const { cook, player } = this;
    if (!cook || player?.isSeeking) return;
    if (!player && this.t() >= LONGEST_COOK) return this.endCook(false);
    const readings = player ? takeWithin(this, player, seconds, () => this.parts.clock.mono()) : [];
    if (mono - this.lastTick < 1000 && readings.length === 0) return;
    this.lastTick = mono;
    this.tick();
    this.changed(readings);
  }

  /** What goes by time alone. */
  tick(): void {
    if (!this.cook) return;
    this.labelOf(0);
    this.goOn(this.cook, this.t());
  }

  /** A recording plays on by seconds and not by ticks: a pizza on the stone is followed at any pace. */
  follow(): void {
    const { cook, player } = this;
    if (cook && player && cook.pizzas.some(isOnStone)) this.goOn(cook, player.t);
  }

  private goOn(cook: RunningCook, t: number): void {
    cook.tick(t);
    this.evening.tick(cook, t, this.settings(), (event) => this.record(event, t));
  }

  now(): Now {
    const { cook, player, parts } = this;
    return nowOf({
      evening: this.evening.now(this.instant(), this.settings()),
      wall: parts.clock.wall(),
      t: cook ? this.t() : null,
      rate: player ? (player.paused || player.ended ? 0 : player.pace) : 1,
      cook,
      sources: this.sources.inUse,
      lost: player ? NO_SOURCES.lost : this.sources.lost,
      rehearsal: player?.status() ?? null,
      unit: this.settings().unit,
      notKept: parts.store.error() ?? this.repairNote(),
    });
  }

  instant(): Instant {
    return { wall: this.parts.clock.wall(), cook: this.cook, t: this.cook ? this.t() : null };
  }

  settings(): Settings {
    this.set ??= settingsSchema.parse(this.parts.store.setting('settings') ?? {});
    return this.set;
  }

  /** After a start: goes on with the cook that was running, if it is not long forgotten. */
  resume(): void {
    const { store, clock } = this.parts;
    endPlayed(store, clock.wall());
    const stored = store.runningCook();
    if (!stored) return;
    const cook = new RunningCook(store, stored);
    cook.recover();
    const lastT = Math.max(cook.lastReadingAt, 0);
    const anchor = store.setting(ANCHOR_KEY) as Anchor | null | undefined; // written by `keepTime` alone
    this.time.resume(cook.id, anchor ?? null, lastT, stored.startedAt);
    if ((this.time.t() - lastT) * 1000 > FORGOTTEN_AFTER_MS)
      return store.patchCook(stored.id, { endedAt: stored.startedAt + Math.round(lastT * 1000) });
    this.cook = cook;
    this.keepTime(cook);
    this.advance();
  }

  async startCook(
    options: { name?: string | undefined; targets?: RecordingHeader['targets'] | undefined } = {},
  ): Promise<number> {
    await this.grills.learnt(); // what the cook before taught is for this one
    const id = this.begin(this.parts.clock.wall(), options);
    await this.parts.store.persisted();
    return id;
  }

  begin(startedAt: number, options: Parameters<CookSession['startCook']>[0] = {}): number {
    this.leave();
    const { store } = this.parts;
    const header = liveHeader(store, this.settings(), startedAt, options.targets, this.grills.prior());
    const name = options.name ?? '';
    const id = store.startCook({ name, startedAt, rehearsal: false, header });
    this.cook = new RunningCook(store, { id, startedAt, rehearsal: false, header, name });
    this.tail.begun();
    this.time.set((this.parts.clock.wall() - startedAt) / 1000);
    this.keepTime(this.cook);
    this.evening.began(this.cook, this.settings());
    this.changed();
    return id;
  }

  /** Ends the running cook; what it taught about the grill is for the next. @param byHand else readings begin another */
  endCook(byHand = true): void {
    if (byHand && this.cook && !this.player) this.tail.ended(this.cook, this.parts.clock.wall());
    this.leave();
    this.changed();
  }

  private leave(): void {
    const { store } = this.parts;
    if (this.cook && !this.player) {
      store.patchCook(this.cook.id, { endedAt: this.cook.startedAt + Math.round(this.t() * 1000) });
      void this.grills.learnFrom(this.cook);
    }
    if (this.cook && this.player) store.patchCook(this.cook.id, { endedAt: this.parts.clock.wall() });
    this.cook = null;
    this.player = null;
  }

  /** Plays a recording as if live. @throws Fault `conflict` when it would end a real cook that nobody wants ended */
  async rehearse(file: string | undefined, pace = REHEARSAL_PACE, how: Rehearsing = {}): Promise<void> {
    if (this.cook?.isUnderWay && !this.player && !how.instead)
      throw new Fault('conflict', 'A cook is running: a rehearsal would end it. End it first.');
    const { player, t } = rehearsalOf(await this.parts.recording(file), pace, how);
    this.byPlan = how.byPlan ?? false;
    await this.play(player, t);
    await this.parts.store.persisted();
  }

  /** What is before `t` is gone through piece by piece, so that pages and probes are served meanwhile. */
  private async play(player: Player, t: number): Promise<void> {
    this.leave();
    const { recording } = player;
    const { store, clock } = this.parts;
    removePlayed(store, recording.name);
    const startedAt = clock.wall() - Math.round(t * 1000);
    const at = new Date(startedAt).toISOString();
    const header = { bake: usualTimes(this.settings()), ...recording.header, startedAt: at };
    const id = store.startCook({ name: recording.name, startedAt, rehearsal: true, header });
    this.cook = new RunningCook(store, { id, startedAt, rehearsal: true, header, name: recording.name });
    for (const pizza of header.cook?.pizzas ?? []) this.cook.putPizza(pizza);
    this.evening.began(this.cook, this.settings(), this.byPlan);
    this.player = player;
    player.isBefore = true;
    await playOn(this, player, t, (line) => this.apply(line));
    player.isBefore = false;
    this.changed();
  }

  /** @throws Fault `conflict` when no rehearsal is playing */
  playing(): Player {
    if (!this.player) throw new Fault('conflict', 'No rehearsal is playing: start one first.');
    return this.player;
  }

  /** Goes to `t` s of the recording, at most its end; where time goes on, what a person tapped stays. */
  async seek(t: number): Promise<void> {
    const before = this.playing();
    if (before.isDone && t >= before.t) return playTo(this, t);
    await this.play(before.again(), Math.min(t, before.length));
  }

  leaveRehearsal(): void {
    this.playing();
    this.endCook();
  }

  wall(): number {
    return this.parts.clock.wall();
  }

  apply(line: RecordingLine): StoredReading[] {
    const { cook } = this;
    const readings = cook?.apply(line) ?? [];
    if (cook && 'event' in line)
      this.evening.happened(cook, line.t, this.settings(), (event) => this.record(event, line.t));
    return readings;
  }

  /** The running cook. @throws Fault `conflict` when there is none */
  needCook(): RunningCook {
    if (!this.cook) throw new Fault('conflict', 'No cook is running: start one first.');
    return this.cook;
  }

  /** Puts an event of now into the running cook; it is on disk once `persisted` resolves. */
  record(event: CookEvent, t = this.t()): { id: string; t: number } {
    const id = isTap(event.id) ? event.id : this.needCook().nextEventId();
    this.apply({ t, ...event, id });
    this.changed();
    return { id, t };
  }

  persisted(): Promise<void> {
    return this.parts.store.persisted();
  }

  changed(readings: readonly StoredReading[] = []): void {
    if (this.player?.isBefore) return;
    this.parts.hub.publish(
      this,
      readings.map((r) => [r.channel, r.t, r.celsius, r.quality]),
    );
  }

  useSources(sources: SourcesInUse): void {
    this.sources = sources;
    this.changed();
  }

  saveSettings(next: Settings): void {
    this.set = next;
    this.parts.store.putSetting('settings', next);
    this.changed();
  }

  /** To be called after the name of a cook changed in the store. */
  renamed(id: number, name: string): void {
    if (this.cook?.id === id) this.cook.name = name;
    this.changed();
  }
}
