import { settings as settingsSchema, type Settings } from '../../shared/api.ts';
import type { GrillPrior } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import { Fault } from '../../shared/fault.ts';
import type { Now } from '../../shared/live.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import type { StoredReading } from '../store/store.ts';
import { CookTime, type Anchor } from './cook-time.ts';
import { EveningBook, type Instant } from './evening.ts';
import { nowOf } from './now.ts';
import { Player, REHEARSAL_PACE, type Tape } from './player.ts';
import { RunningCook } from './running.ts';
import type { StageParts } from './stage-parts.ts';

/** A cook nobody has touched for this long is over: a new fire is a new cook, ms. */
const FORGOTTEN_AFTER_MS = 12 * 3600_000;
const NONE: ReadonlySet<string> = new Set();
const GRILL_KEY = 'grill-prior';
const ANCHOR_KEY = 'time-anchor';
/** That a damaged database was set aside is told for so long, ms. */
const TELL_MENDED_MS = 15 * 60_000;
/** A rehearsal does not play on while the machine sleeps, s. */
const LONGEST_BEAT = 2;

/** Which cook is on and what time it is there: a live one by the monotonic clock, a rehearsal by its player. */
export class Stage {
  private readonly parts: StageParts;
  readonly evening: EveningBook;
  private set: Settings | null = null;
  cook: RunningCook | null = null;
  player: Player | null = null;
  private readonly time: CookTime;
  private readonly begun: number;
  private lastBeat: number;
  private lastTick = -Infinity;
  /** A cook that a person ended does not start again by itself. */
  endedByHand = false;
  /** The rehearsal plays as if it were the plan's evening. */
  private byPlan = false;

  constructor(parts: StageParts) {
    this.parts = parts;
    this.evening = new EveningBook(parts.store);
    this.time = new CookTime(parts.clock);
    this.begun = parts.clock.mono();
    this.lastBeat = this.begun;
  }

  // ── time ───────────────────────────────────────────────────────────────────────────────────────────────────────

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

  /** To be called several times a second: plays the tape on, and notices silence. */
  beat(): void {
    const mono = this.parts.clock.mono();
    const seconds = Math.min(LONGEST_BEAT, (mono - this.lastBeat) / 1000);
    this.lastBeat = mono;
    if (!this.cook) return;
    const readings = this.player ? this.player.advance(seconds).flatMap((line) => this.apply(line)) : [];
    if (mono - this.lastTick < 1000 && readings.length === 0) return;
    this.lastTick = mono;
    this.labelOf(0);
    this.cook.tick(this.t());
    this.evening.beat(this.cook, this.t(), this.settings(), (event) => this.say(event));
    this.changed(readings);
  }

  now(): Now {
    const { cook, player, parts } = this;
    return nowOf({
      evening: this.evening.now(this.instant(), this.settings().dismissed),
      wall: parts.clock.wall(),
      t: cook ? this.t() : null,
      rate: player ? (player.paused || player.ended ? 0 : player.pace) : 1,
      cook,
      sources: parts.sources(),
      lost: player ? NONE : parts.lostChannels(),
      rehearsal: player?.status() ?? null,
      unit: this.settings().unit,
      notKept: parts.store.trouble() ?? this.mended(),
    });
  }

  private mended(): string | null {
    return this.parts.clock.mono() - this.begun < TELL_MENDED_MS ? this.parts.store.mended() : null;
  }

  instant(): Instant {
    return { wall: this.parts.clock.wall(), cook: this.cook, t: this.cook ? this.t() : null };
  }

  settings(): Settings {
    this.set ??= settingsSchema.parse(this.parts.store.setting('settings') ?? {});
    return this.set;
  }

  get runningId(): number | null {
    return this.cook?.id ?? null;
  }

  /** After a start: goes on with the cook that was running, if it is not long forgotten. */
  resume(): void {
    const { store } = this.parts;
    const stored = store.runningCook();
    if (!stored) return;
    const cook = new RunningCook(store, stored);
    cook.recover();
    const lastT = Math.max(cook.lastHeard, 0);
    const anchor = store.setting(ANCHOR_KEY) as Anchor | null | undefined; // written by `keepTime` alone
    this.time.resume(cook.id, anchor ?? null, lastT, stored.startedAt);
    if ((this.time.t() - lastT) * 1000 > FORGOTTEN_AFTER_MS) {
      store.patchCook(stored.id, { endedAt: stored.startedAt + Math.round(lastT * 1000) });
      return;
    }
    this.cook = cook;
    this.keepTime(cook);
    this.beat();
  }

  async startCook(
    options: { name?: string | undefined; targets?: RecordingHeader['targets'] | undefined } = {},
  ): Promise<number> {
    const id = this.begin(this.parts.clock.wall(), options);
    await this.parts.store.kept();
    return id;
  }

  begin(startedAt: number, options: Parameters<Stage['startCook']>[0] = {}): number {
    this.leave();
    const { store } = this.parts;
    const header: RecordingHeader = {
      recording: 1,
      startedAt: new Date(startedAt).toISOString(),
      channels: [
        { id: 'stone', role: 'stone', name: 'Stone' },
        { id: 'dome', role: 'dome', name: 'Dome' },
      ],
      targets: options.targets ?? this.settings().targets,
      probes: store.probes(),
      ...this.startingPoint(),
    };
    const name = options.name ?? '';
    const id = store.startCook({ name, startedAt, rehearsal: false, header });
    this.cook = new RunningCook(store, { id, startedAt, rehearsal: false, header, name });
    this.player = null;
    this.endedByHand = false;
    this.time.set((this.parts.clock.wall() - startedAt) / 1000);
    this.keepTime(this.cook);
    this.evening.began(this.cook, this.settings());
    this.changed();
    return id;
  }

  /** Ends the running cook; what it taught about the grill is kept for the next. */
  endCook(): void {
    this.endedByHand = true;
    this.leave();
    this.changed();
  }

  private leave(): void {
    const { store } = this.parts;
    if (this.cook && !this.player) {
      store.patchCook(this.cook.id, { endedAt: this.cook.startedAt + Math.round(this.t() * 1000) });
      const learned = this.cook.learned();
      if (learned) store.putSetting(GRILL_KEY, learned);
    }
    if (this.cook && this.player) store.patchCook(this.cook.id, { endedAt: this.parts.clock.wall() });
    this.cook = null;
    this.player = null;
  }

  /** What the engine starts from, kept with the cook. */
  private startingPoint(): { bake: { turnAfter: number; offAfter: number }; grill: GrillPrior | null } {
    const { turnAfter, offAfter } = this.settings();
    const grill = this.parts.store.setting(GRILL_KEY) as GrillPrior | undefined; // written by `leave` alone
    return { bake: { turnAfter, offAfter }, grill: grill ?? null };
  }

  // ── rehearsal ──────────────────────────────────────────────────────────────────────────────────────────────────

  /** Plays a recording as if live, from its start or with all up to `t` already gone by. */
  async rehearse(file: string | undefined, pace = REHEARSAL_PACE, t = 0, byPlan = false): Promise<void> {
    const tape = await this.parts.tape(file);
    this.byPlan = byPlan;
    this.play(tape, pace, t);
    await this.parts.store.kept();
  }

  private play(tape: Tape, pace: number, t: number): void {
    this.leave();
    const { store, clock } = this.parts;
    for (const old of store.cooks()) if (old.rehearsal && old.name === tape.name) store.removeCook(old.id);
    const startedAt = clock.wall() - Math.round(t * 1000);
    const header = { ...tape.header, startedAt: new Date(startedAt).toISOString() };
    const id = store.startCook({ name: tape.name, startedAt, rehearsal: true, header });
    this.cook = new RunningCook(store, { id, startedAt, rehearsal: true, header, name: tape.name });
    for (const pizza of header.cook?.pizzas ?? []) this.cook.putPizza(pizza);
    this.evening.began(this.cook, this.settings(), this.byPlan);
    this.player = new Player(tape, pace);
    for (const line of this.player.playTo(t)) this.apply(line);
    this.changed();
  }

  private playing(): Player {
    if (!this.player) throw new Fault('conflict', 'No rehearsal is playing: start one first.');
    return this.player;
  }

  pause(paused: boolean): void {
    this.playing().paused = paused;
    this.changed();
  }

  setPace(pace: number): void {
    this.playing().pace = pace;
    this.changed();
  }

  /** Goes to `t` s of the recording: what is before it is played through at once. */
  seek(t: number): void {
    const { tape, pace, paused } = this.playing();
    this.play(tape, pace, t);
    this.playing().paused = paused;
    this.changed();
  }

  leaveRehearsal(): void {
    this.playing();
    this.leave();
    this.changed();
  }

  wall(): number {
    return this.parts.clock.wall();
  }

  apply(line: RecordingLine): StoredReading[] {
    return this.cook?.apply(line) ?? [];
  }

  /** The running cook. @throws Fault `conflict` when there is none */
  needCook(): RunningCook {
    if (!this.cook) throw new Fault('conflict', 'No cook is running: start one first.');
    return this.cook;
  }

  /** Puts an event of now into the running cook; it is on disk once `kept` resolves. */
  say(event: CookEvent): { id: string; t: number } {
    const cook = this.needCook();
    const id = cook.nextEventId();
    const t = this.t();
    cook.apply({ t, ...event, id });
    this.changed();
    return { id, t };
  }

  kept(): Promise<void> {
    return this.parts.store.kept();
  }

  changed(readings: readonly StoredReading[] = []): void {
    this.parts.changed(readings.map((r) => [r.channel, r.t, r.celsius, r.quality]));
  }

  saveSettings(next: Settings): void {
    this.set = next;
    this.parts.store.putSetting('settings', next);
    this.changed();
  }

  forgetGrill(): void {
    this.parts.store.putSetting(GRILL_KEY, null);
  }

  /** To be called after the name of a cook changed in the store. */
  renamed(id: number, name: string): void {
    if (this.cook?.id === id) this.cook.name = name;
    this.changed();
  }
}
