import { DEFAULT_BAKE, type EngineOutput, type EngineView } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import type { Now } from '../../shared/live.ts';
import type { Pizza } from '../../shared/pizza.ts';
import type { Reading } from '../../shared/reading.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import type { SourceKind } from '../../shared/words.ts';
import { createCourse, type Course } from '../course/course.ts';
import type { Problem } from '../ingest/pipeline.ts';
import type { Store, StoredEvent, StoredReading } from '../store/store.ts';
import { unannounced, withTimes } from './pizzas.ts';

/** What a channel last said, and how often it speaks (s, a running mean of the gaps). */
export type LastReading = { reading: StoredReading; every: number | null; source: SourceKind };

type Question = Now['questions'][number];
/** Questions older than this are not asked any more, s. */
const ASK_FOR = 180;

export type RunningCookOptions = {
  id: number;
  startedAt: number;
  rehearsal: boolean;
  header: RecordingHeader;
  name: string;
};

/**
 * The cook that is going on: its course, and all that the first screen shows of it. Every line, live, played or read
 * again after a crash, goes through `apply`; what comes of it is kept unless it was kept before.
 */
export class RunningCook {
  readonly id: number;
  startedAt: number;
  readonly rehearsal: boolean;
  readonly header: RecordingHeader;
  name: string;
  readonly last = new Map<string, LastReading>();
  readonly events: StoredEvent[] = [];
  pizzas: Pizza[] = [];
  questions: Question[] = [];
  problems: Problem[] = [];
  targets: RecordingHeader['targets'];
  /** When the last line came, s. */
  lastHeard = 0;
  private readonly course: Course;
  private seen: EngineView | null = null;
  private readonly store: Store;
  private readonly bake: { turnAfter: number; offAfter: number };
  /** Until this time what happens is already in the store, s. */
  private keptUntil = -1;

  constructor(store: Store, options: RunningCookOptions) {
    this.store = store;
    this.id = options.id;
    this.startedAt = options.startedAt;
    this.rehearsal = options.rehearsal;
    this.header = options.header;
    this.name = options.name;
    this.targets = options.header.targets;
    this.bake = options.header.bake ?? DEFAULT_BAKE;
    this.course = createCourse(options.header);
  }

  /** Goes through what the store has of this cook, keeping nothing twice. */
  recover(): void {
    const marks = this.store.marks(this.id);
    this.keptUntil = Infinity;
    this.pizzas = this.store.pizzas(this.id);
    let last = 0;
    for (const line of this.store.lines(this.id)) {
      this.apply(line);
      last = line.t;
    }
    const until = Math.max(last, marks.at(-1)?.t ?? 0);
    this.tick(until);
    this.keptUntil = until;
  }

  /** @returns the readings that the line gave */
  apply(line: RecordingLine): StoredReading[] {
    const fresh = this.keptUntil < Infinity;
    this.lastHeard = line.t;
    this.seen = null;
    if (fresh) this.store.addLine(this.id, line);
    const { readings, outputs, problems } = this.course.line(line);
    if ('event' in line) this.happened(line);
    const stored: StoredReading[] = [];
    for (const reading of readings) stored.push(this.took(reading, sourceOf(line)));
    if (fresh) for (const reading of stored) this.store.addReading(this.id, reading);
    this.said(outputs);
    if (problems.length > 0) this.problems = [...problems, ...this.problems].slice(0, 20);
    return stored;
  }

  tick(t: number): void {
    this.seen = null;
    this.said(this.course.tick(t));
    this.questions = this.questions.filter((q) => t - q.at < ASK_FOR);
  }

  /** Made once for all who look between two steps. */
  view(): EngineView {
    return (this.seen ??= this.course.view());
  }

  learned(): ReturnType<Course['learned']> {
    return this.course.learned();
  }

  /** Moves all labels by `by` ms, when the wall clock was found to have been wrong; no time changes. */
  redate(by: number): void {
    const from = this.startedAt;
    this.startedAt += by;
    this.header.startedAt = new Date(this.startedAt).toISOString();
    for (const one of this.last.values()) one.reading = { ...one.reading, at: one.reading.at + by };
    this.store.redateCook(this.id, from, this.startedAt);
  }

  putPizza(pizza: Pizza): void {
    this.store.putPizza(this.id, pizza);
    this.pizzas = withTimes([...this.pizzas.filter((p) => p.id !== pizza.id), pizza], this.events);
  }

  removePizza(id: string): void {
    this.store.removePizza(this.id, id);
    this.pizzas = this.pizzas.filter((p) => p.id !== id);
  }

  nextEventId(): string {
    return `e${this.events.length + 1}`;
  }

  private took(reading: Reading, source: SourceKind): StoredReading {
    // Spread last: V8 gives each object a hidden class of its own when a property follows a spread.
    const stored = { at: Math.round(this.startedAt + reading.t * 1000), ...reading };
    const before = this.last.get(reading.channel);
    if (before && before.reading.t > reading.t) return stored;
    const gap = before ? reading.t - before.reading.t : null;
    const every =
      gap === null || gap <= 0 ? (before?.every ?? null) : (before?.every ?? gap) * 0.9 + gap * 0.1;
    this.last.set(reading.channel, { reading: stored, every, source });
    return stored;
  }

  private happened({ t, ...event }: CookEvent & { t: number }): void {
    const id = event.id ?? this.nextEventId();
    const one: StoredEvent = { id, t, event, undone: false };
    this.events.push(one);
    this.keepEvent(one);
    if (event.event === 'undo') this.undo(event.of);
    if (event.event === 'targets') this.targets = { ...this.targets, ...definedOf(event) };
    if (event.event === 'answer')
      this.questions = this.questions.filter((q) => q.noticed !== event.noticed || q.at !== event.at);
    this.meetPizza(event);
    this.pizzas = withTimes(this.pizzas, this.events);
  }

  private undo(id: string): void {
    for (const event of this.events) {
      if (event.id !== id) continue;
      event.undone = true;
      this.keepEvent(event);
    }
  }

  /** A pizza that an event names and nobody announced joins the run. */
  private meetPizza(event: CookEvent): void {
    if (event.event !== 'launch' || event.pizza === undefined) return;
    if (this.pizzas.some((p) => p.id === event.pizza)) return;
    const times = {
      turnAfter: event.turnAfter ?? this.bake.turnAfter,
      offAfter: event.offAfter ?? this.bake.offAfter,
    };
    const pizza = unannounced(event.pizza, this.pizzas.length, times);
    this.pizzas.push(pizza);
    if (this.keptUntil < Infinity) this.store.putPizza(this.id, pizza);
  }

  private keepEvent(event: StoredEvent): void {
    if (this.keptUntil < Infinity) this.store.putEvent(this.id, event);
  }

  private said(outputs: readonly EngineOutput[]): void {
    for (const output of outputs) {
      if (output.type === 'forecast') continue;
      if (output.t > this.keptUntil) this.store.addMark(this.id, output);
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

function definedOf(event: Extract<CookEvent, { event: 'targets' }>): RecordingHeader['targets'] {
  const { stone, dome, domeLimit } = event;
  return {
    ...(stone && { stone }),
    ...(dome && { dome }),
    ...(domeLimit !== undefined && { domeLimit }),
  };
}
