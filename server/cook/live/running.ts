import { pizzasOf, type BakeTimes } from '../../../shared/cook/run.ts';
import { nextEventId, type CookEntry } from '../../../shared/cook/reduce.ts';
import {
  DEFAULT_BAKE,
  type BakeAhead,
  type EngineOutput,
  type EngineView,
  type GrillPrior,
  type Targets,
} from '../../../shared/engine.ts';
import type { CookEvent } from '../../../shared/event.ts';
import { Fault } from '../../../shared/fault.ts';
import type { StoneEstimate } from '../../../shared/api/api.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { Reading } from '../../../shared/reading.ts';
import type { RecordingHeader, RecordingLine } from '../../../shared/recording.ts';
import type { SourceKind } from '../../../shared/words.ts';
import { checkLine } from '../../core/read-line.ts';
import { createCore, type CookCore } from '../../core/core.ts';
import type { Problem } from '../../ingest/pipeline.ts';
import type { Store, StoredReading } from '../../store/store.ts';
import { LastReadings } from './last-readings.ts';
import { EstimateTrace } from '../../core/estimate-trace.ts';

type Struck = NonNullable<ReturnType<CookCore['line']>['remade']>;

type Question = Now['questions'][number];
/** Questions older than this are not asked any more, s. */
export const ASK_WITHIN_SECONDS = 180;

type RunningCookOptions = {
  id: number;
  startedAt: number;
  rehearsal: boolean;
  header: RecordingHeader;
  name: string;
};

/**
 * The cook that is going on: its core, and all that the first screen shows of it. Every line, live, played or read
 * again after a crash, goes through `apply`; what comes of it is kept unless it was kept before.
 */
export class RunningCook {
  readonly id: number;
  startedAt: number;
  readonly rehearsal: boolean;
  readonly header: RecordingHeader;
  name: string;
  readonly last = new LastReadings();
  /** As the events that stand make them, in the order of the run. */
  pizzas: Pizza[] = [];
  /** As they were announced: what an undone event leaves. */
  private announced: Pizza[] = [];
  questions: Question[] = [];
  problems: Problem[] = [];
  /** What the engine said apart from forecasts, in time order. */
  readonly outputs: EngineOutput[] = [];
  /** When the last line came, s. */
  lastReadingAt = 0;
  private readonly core: CookCore;
  private readonly trace: EstimateTrace;
  private seen: EngineView | null = null;
  private readonly store: Store;
  private readonly bake: BakeTimes;
  /** Until this time what happens is already in the store, s. */
  private keptUntil = -1;

  constructor(store: Store, options: RunningCookOptions) {
    this.store = store;
    this.id = options.id;
    this.startedAt = options.startedAt;
    this.rehearsal = options.rehearsal;
    this.header = options.header;
    this.name = options.name;
    this.bake = options.header.bake ?? DEFAULT_BAKE;
    this.core = createCore(options.header);
    this.trace = new EstimateTrace(options.header);
  }

  /** Goes through what the store has of this cook, keeping nothing twice. */
  recover(): void {
    const marks = this.store.records(this.id);
    this.keptUntil = Infinity;
    this.announced = this.store.pizzas(this.id);
    this.foldPizzas();
    let last = 0;
    for (const line of this.store.lines(this.id)) {
      if (!this.goneThrough(line)) continue;
      last = line.t;
    }
    const until = Math.max(last, marks.at(-1)?.t ?? 0);
    this.tick(until);
    this.keptUntil = until;
  }

  /** A line that nobody can make sense of any more is left out: the cook goes on with the others. */
  private goneThrough(line: RecordingLine): boolean {
    try {
      this.apply(checkLine({ ...line }));
      return true;
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      console.error(`A line of cook ${this.id} at ${line.t} s is left out: ${error.message}.`);
      return false;
    }
  }

  /** @returns the readings that the line gave */
  apply(line: RecordingLine): StoredReading[] {
    const fresh = this.keptUntil < Infinity;
    this.lastReadingAt = line.t;
    this.seen = null;
    if (fresh) this.store.addLine(this.id, line);
    const before = this.events;
    const { readings, outputs, problems, remade } = this.core.line(line);
    if ('event' in line) this.happened(line, before);
    else if (fresh && this.events !== before) this.keepEntries(before);
    const stored: StoredReading[] = [];
    for (const reading of readings) stored.push(this.took(reading, sourceOf(line)));
    if (fresh) for (const reading of stored) this.store.addReading(this.id, reading);
    if (remade) this.struckOut(remade, before, fresh);
    this.emit(remade ? outputs.filter(({ type }) => type !== 'forecast') : outputs);
    if (problems.length > 0) this.problems = [...problems, ...this.problems].slice(0, 20);
    return stored;
  }

  tick(t: number): void {
    this.seen = null;
    this.emit(this.core.tick(t));
    this.questions = this.questions.filter((q) => t - q.at < ASK_WITHIN_SECONDS);
  }

  /** What an undo of this look has to do, in pieces, ahead of it. */
  prepareUndo(look: string): ReturnType<CookCore['prepareUndo']> {
    return this.core.prepareUndo(look);
  }

  /** Made once for all who look between two steps. */
  view(): EngineView {
    return (this.seen ??= this.core.view());
  }

  /** The stone through pizzas to come, with the dome as it goes; and when it is right for one, and under what dome sooner. */
  ahead(): ReturnType<CookCore['ahead']> {
    return this.core.ahead(null);
  }
  back(bake: BakeAhead): ReturnType<CookCore['back']> {
    return this.core.back(bake);
  }

  /** Whether anything has come of it yet. */
  get isUnderWay(): boolean {
    return this.last.size > 0 || this.events.length > 0;
  }

  /** The stone so far, for as long as it was only looked at. */
  get estimates(): readonly StoneEstimate[] {
    return this.trace.estimates;
  }

  /** What people said, in the order they said it. */
  get events(): readonly CookEntry[] {
    return this.core.cook().entries;
  }

  get targets(): Targets {
    return this.core.cook().targets;
  }

  /** What it teaches of the grill on top of `prior`, in pieces. */
  lesson(prior: GrillPrior | null): ReturnType<CookCore['lesson']> {
    return this.core.lesson(prior);
  }

  /** Moves all labels by `by` ms, when the wall clock was found to have been wrong; no time changes. */
  redate(by: number): void {
    const from = this.startedAt;
    this.startedAt += by;
    this.header.startedAt = new Date(this.startedAt).toISOString();
    this.last.redate(by);
    this.store.redateCook(this.id, from, this.startedAt);
  }

  putPizza(pizza: Pizza): void {
    const announced = this.asAnnounced(pizza);
    this.store.putPizza(this.id, announced);
    this.announced = [...this.announced.filter((p) => p.id !== pizza.id), announced];
    this.foldPizzas();
  }

  private foldPizzas(): void {
    this.pizzas = pizzasOf(this.core.cook(), this.announced, this.bake);
  }

  /** Bake times that an event moved are the event's: they are not announced with the rest. */
  private asAnnounced(pizza: Pizza): Pizza {
    const [shown, before] = [this.pizzas, this.announced].map((all) => all.find((p) => p.id === pizza.id));
    if (!shown || !before) return pizza;
    return {
      ...pizza,
      turnAfter: pizza.turnAfter === shown.turnAfter ? before.turnAfter : pizza.turnAfter,
      offAfter: pizza.offAfter === shown.offAfter ? before.offAfter : pizza.offAfter,
    };
  }

  /** Puts these in the place of those that were announced before. */
  replacePizzas(pizzas: readonly Pizza[]): void {
    for (const { id } of this.announced) this.store.removePizza(this.id, id);
    this.announced = [];
    for (const pizza of pizzas) this.putPizza(pizza);
  }

  /** An id that no pizza of this cook has or had. */
  freePizzaId(): string {
    const ids = new Set([...this.announced, ...this.pizzas].map(({ id }) => id));
    let n = this.pizzas.length + 1;
    while (ids.has(`p${n}`)) n++;
    return `p${n}`;
  }

  nextEventId(): string {
    return nextEventId(this.events);
  }

  private atOf(t: number): number {
    return Math.round(this.startedAt + t * 1000);
  }

  private took(reading: Reading, source: SourceKind): StoredReading {
    // Spread last: V8 gives each object a hidden class of its own when a property follows a spread.
    const stored = { at: this.atOf(reading.t), ...reading };
    if (this.last.take(stored, source)) this.trace.took(reading.channel, source);
    return stored;
  }

  /** Keeps the entries that are new, or not as they were. */
  private keepEntries(before: readonly CookEntry[]): void {
    this.events.forEach((entry, i) => {
      if (entry !== before[i]) this.store.putEvent(this.id, entry);
    });
  }

  /** Readings that were struck out are neither drawn nor shown as the last, and the stone was what it was without them. */
  private struckOut(
    { from, forecasts, noticed }: Struck,
    before: readonly CookEntry[],
    fresh: boolean,
  ): void {
    for (const [i, { event, undone, t }] of this.events.entries()) {
      if (event.event !== 'look' || !undone || before[i]?.undone !== false) continue;
      const { channel } = event;
      if (fresh) this.store.removeReading(this.id, { channel, t, at: this.atOf(t) });
      this.last.strike(channel, t, (time) => this.atOf(time));
    }
    this.trace.remake(from, forecasts);
    this.questions = this.questions.filter(
      ({ noticed: event, at }) => at < from || noticed.some((each) => each.event === event && each.at === at),
    );
  }

  private happened(event: CookEvent, before: readonly CookEntry[]): void {
    if (this.keptUntil < Infinity) this.keepEntries(before);
    if (event.event === 'answer')
      this.questions = this.questions.filter((q) => q.noticed !== event.noticed || q.at !== event.at);
    this.foldPizzas();
    if (event.event === 'undo' && this.keptUntil < Infinity) this.keepUndone();
  }

  /** Verdicts teach by the rows that are kept: a launch or off that is undone is undone there too. */
  private keepUndone(): void {
    for (const pizza of this.pizzas) {
      const row = this.announced.find(({ id }) => id === pizza.id);
      const isStale = row?.launchedAt !== pizza.launchedAt || row.offAt !== pizza.offAt;
      if (row?.baked && isStale) this.putPizza(pizza);
    }
  }

  private emit(outputs: readonly EngineOutput[]): void {
    for (const output of outputs) {
      this.trace.add(output);
      if (output.type === 'forecast' || output.type === 'advice') continue;
      this.outputs.push(output);
      if (output.t > this.keptUntil) this.store.addRecord(this.id, output);
      if (output.type === 'noticed') this.ask(output);
    }
  }

  private ask({ event, at, confidence }: Extract<EngineOutput, { type: 'noticed' }>): void {
    if (event !== 'launch' && event !== 'off' && event !== 'fuel') return;
    const known = this.events.some((e) => !e.undone && e.event.event === event && Math.abs(e.t - at) < 90);
    if (!known) this.questions.push({ id: `${event}@${at}`, noticed: event, at, confidence });
  }
}

const sourceOf = (line: RecordingLine): SourceKind =>
  'source' in line && line.source ? line.source : 'replay';
