import {
  settings as settingsSchema,
  type PostSpot,
  type PostedReading,
  type Settings,
} from '../../shared/api.ts';
import type { GrillPrior } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import { Fault } from '../../shared/fault.ts';
import type { LiveReading, Now } from '../../shared/live.ts';
import type { Pizza, PizzaPatch } from '../../shared/pizza.ts';
import type { Probe } from '../../shared/probe.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { fromFahrenheit } from '../../shared/units.ts';
import type { Store, StoredReading } from '../store/store.ts';
import type { FrameBody } from '../source/source.ts';
import type { Clock } from './clock.ts';
import { nowOf } from './now.ts';
import { isOnStone, isWaiting, unannounced } from './pizzas.ts';
import { Player, REHEARSAL_PACE, type Tape } from './player.ts';
import { RunningCook } from './running.ts';

/** A cook nobody has touched for this long is over: a new fire is a new cook, ms. */
const FORGOTTEN_AFTER_MS = 12 * 3600_000;
/** Readings may be this far ahead of our clock, since clocks differ, ms. */
const AHEAD_MS = 10_000;
/** A new cook begins at most this long before the reading that starts it reached us, ms. */
const LATE_START_MS = 12 * 3600_000;
const GRILL_KEY = 'grill-prior';

export type ConductorParts = {
  store: Store;
  clock: Clock;
  /** Called after each change with the readings that came. */
  changed(readings: LiveReading[]): void;
  sources(): Now['sources'];
  /** Finds a bundled or named recording. */
  tape(file: string | undefined): Promise<Tape>;
};

/** Runs the one cook that is going on: who speaks, what time it is, what is kept. */
export class Conductor {
  private readonly parts: ConductorParts;
  private cook: RunningCook | null = null;
  private player: Player | null = null;
  /** Cook time runs from here: `t` s at `mono` ms. */
  private origin = { t: 0, mono: 0 };
  private lastBeat: number;
  private lastTick = -Infinity;
  /** A cook that a person ended does not start again by itself. */
  private endedByHand = false;

  constructor(parts: ConductorParts) {
    this.parts = parts;
    this.lastBeat = parts.clock.mono();
  }

  // ── time ───────────────────────────────────────────────────────────────────────────────────────────────────────

  /** Seconds since the cook started. */
  private t(): number {
    if (this.player) return this.player.t;
    return Math.round(this.origin.t * 1000 + this.parts.clock.mono() - this.origin.mono) / 1000;
  }

  private setTime(t: number): void {
    this.origin = { t, mono: this.parts.clock.mono() };
  }

  /** To be called several times a second: plays the tape on, and notices silence. */
  beat(): void {
    const mono = this.parts.clock.mono();
    const seconds = (mono - this.lastBeat) / 1000;
    this.lastBeat = mono;
    if (!this.cook) return;
    const readings = this.player ? this.player.advance(seconds).flatMap((line) => this.apply(line)) : [];
    if (mono - this.lastTick < 1000 && readings.length === 0) return;
    this.lastTick = mono;
    this.cook.tick(this.t());
    this.changed(readings);
  }

  // ── what is so ─────────────────────────────────────────────────────────────────────────────────────────────────

  now(): Now {
    const { cook, player, parts } = this;
    return nowOf({
      wall: parts.clock.wall(),
      t: cook ? this.t() : null,
      rate: player ? (player.paused || player.ended ? 0 : player.pace) : 1,
      cook,
      sources: parts.sources(),
      rehearsal: player?.status() ?? null,
      notKept: parts.store.trouble(),
    });
  }

  settings(): Settings {
    return settingsSchema.parse(this.parts.store.setting('settings') ?? {});
  }

  get runningId(): number | null {
    return this.cook?.id ?? null;
  }

  // ── cooks ──────────────────────────────────────────────────────────────────────────────────────────────────────

  /** After a start: goes on with the cook that was running, if it is not long forgotten. */
  resume(): void {
    const { store, clock } = this.parts;
    const stored = store.runningCook();
    if (!stored) return;
    const cook = new RunningCook(store, { ...stored, ...this.courseOptions() });
    cook.recover();
    const lastT = Math.max(cook.lastHeard, 0);
    const wallT = (clock.wall() - stored.startedAt) / 1000;
    if ((wallT - lastT) * 1000 > FORGOTTEN_AFTER_MS) {
      store.patchCook(stored.id, { endedAt: stored.startedAt + Math.round(lastT * 1000) });
      return;
    }
    this.cook = cook;
    this.setTime(Math.max(wallT, lastT));
    this.beat();
  }

  async startCook(
    options: { name?: string | undefined; targets?: RecordingHeader['targets'] | undefined } = {},
  ): Promise<number> {
    const id = this.begin(this.parts.clock.wall(), options);
    await this.parts.store.kept();
    return id;
  }

  private begin(startedAt: number, options: Parameters<Conductor['startCook']>[0] = {}): number {
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
    };
    const name = options.name ?? '';
    const id = store.startCook({ name, startedAt, rehearsal: false, header });
    this.cook = new RunningCook(store, {
      id,
      startedAt,
      rehearsal: false,
      header,
      name,
      ...this.courseOptions(),
    });
    this.player = null;
    this.endedByHand = false;
    this.setTime((this.parts.clock.wall() - startedAt) / 1000);
    this.changed([]);
    return id;
  }

  /** Ends the running cook; what it taught about the grill is kept for the next. */
  endCook(): void {
    this.endedByHand = true;
    this.leave();
    this.changed([]);
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

  private courseOptions(): { bake: { turnAfter: number; offAfter: number }; prior: GrillPrior | null } {
    const { turnAfter, offAfter } = this.settings();
    const prior = this.parts.store.setting(GRILL_KEY) as GrillPrior | undefined; // written by `leave` alone
    return { bake: { turnAfter, offAfter }, prior: prior ?? null };
  }

  // ── rehearsal ──────────────────────────────────────────────────────────────────────────────────────────────────

  /** Plays a recording as if live, from its start or with all up to `t` already gone by. */
  async rehearse(file: string | undefined, pace = REHEARSAL_PACE, t = 0): Promise<void> {
    this.play(await this.parts.tape(file), pace, t);
    await this.parts.store.kept();
  }

  private play(tape: Tape, pace: number, t: number): void {
    this.leave();
    const { store, clock } = this.parts;
    for (const old of store.cooks()) if (old.rehearsal && old.name === tape.name) store.removeCook(old.id);
    const startedAt = clock.wall() - Math.round(t * 1000);
    const header = { ...tape.header, startedAt: new Date(startedAt).toISOString() };
    const id = store.startCook({ name: tape.name, startedAt, rehearsal: true, header });
    this.cook = new RunningCook(store, {
      id,
      startedAt,
      rehearsal: true,
      header,
      name: tape.name,
      ...this.courseOptions(),
    });
    for (const pizza of header.cook?.pizzas ?? []) this.cook.putPizza(pizza);
    this.player = new Player(tape, pace);
    for (const line of this.player.playTo(t)) this.apply(line);
    this.changed([]);
  }

  private playing(): Player {
    if (!this.player) throw new Fault('conflict', 'No rehearsal is playing: start one first.');
    return this.player;
  }

  pause(paused: boolean): void {
    this.playing().paused = paused;
    this.changed([]);
  }

  setPace(pace: number): void {
    this.playing().pace = pace;
    this.changed([]);
  }

  /** Goes to `t` s of the recording: what is before it is played through at once. */
  seek(t: number): void {
    const { tape, pace, paused } = this.playing();
    this.play(tape, pace, t);
    this.playing().paused = paused;
    this.changed([]);
  }

  leaveRehearsal(): void {
    this.playing();
    this.leave();
    this.changed([]);
  }

  // ── what comes in ──────────────────────────────────────────────────────────────────────────────────────────────

  /** A frame of a live source. In a rehearsal it is not taken; with no cook it starts one, unless one was just ended. */
  frame(body: FrameBody): void {
    if (this.player) return;
    if (!this.cook) {
      if (this.endedByHand) return;
      this.begin(this.parts.clock.wall());
    }
    this.changed(this.apply({ ...body, t: this.t() }));
  }

  private apply(line: RecordingLine): StoredReading[] {
    return this.cook?.apply(line) ?? [];
  }

  /** @throws Fault when an entry is wrong (none is then taken) or could not be kept */
  async postReadings(posted: readonly PostedReading[]): Promise<number> {
    const wall = this.parts.clock.wall();
    const times = posted.map(({ at }, i) => timeOf(at, wall, `readings[${i}].at`));
    const known = this.cook && !this.player ? this.cook.header.channels.map((c) => c.id) : ['stone', 'dome'];
    posted.forEach(({ channel }, i) => {
      if (!known.includes(channel))
        throw new Fault(
          'not-found',
          `There is no channel "${channel}": this cook has ${known.join(', ')}.`,
          `readings[${i}].channel`,
        );
    });
    const cook = this.realCook(Math.max(Math.min(...times), wall - LATE_START_MS));
    const readings = posted.flatMap((one, i) => cook.apply(this.httpLine(one, times[i] ?? wall, wall, cook)));
    this.changed(readings);
    await this.parts.store.kept();
    return posted.length;
  }

  /** The running real cook; a rehearsal is left for a new one. */
  private realCook(startedAt: number): RunningCook {
    if (!this.cook || this.player) this.begin(startedAt);
    if (!this.cook) throw new Fault('conflict', 'No cook could be started: try again.');
    return this.cook;
  }

  private httpLine(
    { channel, celsius, fahrenheit }: PostedReading,
    at: number,
    wall: number,
    cook: RunningCook,
  ): RecordingLine {
    const t = this.t();
    // Readings sent with a time keep it to the millisecond; the others are of now.
    const was = at === wall ? undefined : (at - cook.startedAt) / 1000;
    return {
      t,
      source: 'http',
      channel,
      ...(celsius === undefined ? { fahrenheit } : { celsius }),
      ...(was !== undefined && { was }),
    };
  }

  async postSpot(spot: PostSpot): Promise<StoredReading> {
    const cook = this.realCook(this.parts.clock.wall());
    if (!cook.header.channels.some((c) => c.id === spot.channel))
      throw new Fault('not-found', `There is no channel "${spot.channel}".`, 'channel');
    const { channel, surface, emissivitySet, reflected } = spot;
    const celsius = spot.celsius ?? fromFahrenheit(spot.fahrenheit ?? Number.NaN);
    const readings = cook.apply({
      t: this.t(),
      source: 'spot',
      channel,
      celsius,
      surface,
      emissivitySet,
      reflected,
    });
    this.changed(readings);
    await this.parts.store.kept();
    const reading = readings[0];
    if (!reading)
      throw new Fault('invalid', cook.problems[0]?.text ?? 'That reading could not be corrected.');
    return reading;
  }

  // ── what a person says ─────────────────────────────────────────────────────────────────────────────────────────

  private needCook(): RunningCook {
    if (!this.cook) throw new Fault('conflict', 'No cook is running: start one first.');
    return this.cook;
  }

  async event(event: CookEvent): Promise<{ id: string; t: number }> {
    const cook = this.needCook();
    const id = cook.nextEventId();
    const t = this.t();
    cook.apply({ t, ...this.withPizza(event, cook), id });
    this.changed([]);
    await this.parts.store.kept();
    return { id, t };
  }

  /** Gives a launch, turn or off that names no pizza the one it must mean. */
  private withPizza(event: CookEvent, cook: RunningCook): CookEvent {
    if (event.event === 'launch') return this.launchOf(event.pizza, event, cook);
    const noticed = event.event === 'answer' && event.yes ? event.noticed : null;
    if (event.event === 'answer' && noticed === 'launch') return { ...event, pizza: this.nextPizza(cook) };
    if (event.event === 'turn' || event.event === 'off' || (event.event === 'answer' && noticed === 'off'))
      return { ...event, pizza: event.pizza ?? cook.pizzas.find(isOnStone)?.id };
    return event;
  }

  private launchOf(
    wanted: string | undefined,
    event: CookEvent & { event: 'launch' },
    cook: RunningCook,
  ): CookEvent {
    const id = wanted ?? this.nextPizza(cook);
    const pizza = cook.pizzas.find((p) => p.id === id);
    if (pizza && pizza.launchedAt !== null)
      throw new Fault('conflict', `${pizza.name || 'That pizza'} was launched before: undo that first.`);
    const { turnAfter, offAfter } = this.settings();
    return {
      ...event,
      pizza: id,
      turnAfter: event.turnAfter ?? pizza?.turnAfter ?? turnAfter,
      offAfter: event.offAfter ?? pizza?.offAfter ?? offAfter,
    };
  }

  private nextPizza(cook: RunningCook): string {
    return cook.pizzas.find(isWaiting)?.id ?? freeId(cook.pizzas);
  }

  /** Takes an event back; it stays in the record as undone. */
  async undo(id: string): Promise<{ id: string; t: number }> {
    const event = this.needCook().events.find((e) => e.id === id);
    if (!event) throw new Fault('not-found', `There is no event "${id}" in this cook.`);
    if (event.undone) throw new Fault('conflict', 'That was undone already.');
    return this.event({ event: 'undo', of: id });
  }

  async answer(questionId: string, yes: boolean): Promise<{ id: string; t: number }> {
    const question = this.needCook().questions.find((q) => q.id === questionId);
    if (!question) throw new Fault('not-found', 'That question is not open any more.');
    return this.event({ event: 'answer', noticed: question.noticed, at: question.at, yes });
  }

  async addPizza(wish: Pick<Pizza, 'name' | 'eater' | 'likes' | 'turnAfter' | 'offAfter'>): Promise<Pizza> {
    const cook = this.needCook();
    const place = Math.max(-1, ...cook.pizzas.map((p) => p.place)) + 1;
    const pizza = {
      ...unannounced(freeId(cook.pizzas), place, { turnAfter: 210, offAfter: wish.offAfter }),
      ...wish,
    };
    return this.keepPizza({ ...pizza, name: wish.name || pizza.name });
  }

  async patchPizza(id: string, patch: PizzaPatch): Promise<Pizza> {
    const cook = this.needCook();
    const before = cook.pizzas.find((p) => p.id === id);
    if (!before) throw new Fault('not-found', `There is no pizza "${id}" in this cook.`);
    const pizza = await this.keepPizza({ ...before, ...patch });
    const moved = patch.turnAfter !== undefined || patch.offAfter !== undefined;
    if (moved && isOnStone(pizza))
      await this.event({
        event: 'bake-times',
        pizza: id,
        turnAfter: pizza.turnAfter ?? undefined,
        offAfter: pizza.offAfter,
      });
    return pizza;
  }

  private async keepPizza(pizza: Pizza): Promise<Pizza> {
    this.needCook().putPizza(pizza);
    this.changed([]);
    await this.parts.store.kept();
    return pizza;
  }

  async removePizza(id: string): Promise<void> {
    const cook = this.needCook();
    const pizza = cook.pizzas.find((p) => p.id === id);
    if (!pizza) throw new Fault('not-found', `There is no pizza "${id}" in this cook.`);
    if (pizza.launchedAt !== null)
      throw new Fault('conflict', 'A pizza that was launched stays in the record: undo its launch first.');
    cook.removePizza(id);
    this.changed([]);
    await this.parts.store.kept();
  }

  async putSettings(patch: Partial<Settings>): Promise<Settings> {
    const next = settingsSchema.parse({ ...this.settings(), ...patch });
    this.parts.store.putSetting('settings', next);
    if (patch.targets && this.cook) await this.event({ event: 'targets', ...patch.targets });
    this.changed([]);
    await this.parts.store.kept();
    return next;
  }

  async useProbes(probes: Probe[]): Promise<void> {
    if (this.cook && !this.player) await this.event({ event: 'probes', probes });
    this.changed([]);
    await this.parts.store.kept();
  }

  forgetGrill(): void {
    this.parts.store.putSetting(GRILL_KEY, null);
  }

  /** To be called after the name or notes of a cook changed in the store. */
  renamed(id: number, name: string): void {
    if (this.cook?.id === id) this.cook.name = name;
    this.changed([]);
  }

  private changed(readings: readonly StoredReading[]): void {
    this.parts.changed(readings.map((r) => [r.channel, r.t, r.celsius, r.quality]));
  }
}

function timeOf(at: string | undefined, wall: number, where: string): number {
  if (at === undefined) return wall;
  const ms = Date.parse(at);
  if (ms > wall + AHEAD_MS)
    throw new Fault('invalid', `${where}: ${at} lies in the future: check the clock that sent it.`, where);
  return ms;
}

function freeId(pizzas: readonly Pizza[]): string {
  let n = pizzas.length + 1;
  while (pizzas.some((p) => p.id === `p${n}`)) n++;
  return `p${n}`;
}
