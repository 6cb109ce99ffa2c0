import {
  DEFAULT_BAKE,
  DEFAULT_TARGETS,
  type BakeAhead,
  type EngineInput,
  type EngineOutput,
  type EngineView,
  type GrillLesson,
  type GrillPrior,
  type StoneAhead,
  type StoneBack,
} from '../../shared/engine.ts';
import { nextLookId, reduce, type Cook, type CookEntry } from '../../shared/cook/reduce.ts';
import type { Reading } from '../../shared/reading.ts';
import type { InPieces } from '../../shared/work/in-pieces.ts';
import type { EventLine, Frame, RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { engine } from '../engine/cook-engine.ts';

export { knownOf } from '../engine/grill-figures.ts';
export { heldStone } from '../engine/forecast/held-stone.ts';
import { createPipeline, type Problem } from '../ingest/pipeline.ts';
import { LookLog, type Remade } from './look-log.ts';
import { changesBetween } from './view-changes.ts';

/** What one line did. `remade`: it struck out a look, and what was said since then is said anew. */
type LineResult = {
  readings: Reading[];
  outputs: EngineOutput[];
  problems: Problem[];
  remade: Omit<Remade, 'state'> | null;
};

/**
 * One cook through decoders, conversion, trust and engine, without clock or I/O: a live cook, a replay, an import
 * and the recovery after a crash all feed it the same lines and get the same answers.
 */
export type CookCore = {
  line(line: RecordingLine): LineResult;
  /** What an undo of this look has to do, ahead of its line and in pieces: it takes as long as there is to go through. */
  prepareUndo(look: string): InPieces<void>;
  /** Time has passed, `t` seconds since the start, and nothing came. */
  tick(t: number): EngineOutput[];
  view(): EngineView;
  /** The stone through the pizzas to come, under the dome as it goes or one held at so many °C; null where unknown. */
  ahead(held: number | null): StoneAhead | null;
  /** When the stone is right for a pizza, and what dome has it so sooner; null with one on it, or where unknown. */
  back(bake: BakeAhead): StoneBack | null;
  /** What people said of it, folded. */
  cook(): Cook;
  learned(): GrillPrior | null;
  /** What the cook teaches on top of `prior`, in pieces. */
  lesson(prior: GrillPrior | null): Generator<void, GrillLesson | null, void>;
};

/** @param givenDome the dome to come, [s, °C], where an analysis is to know it */
export function createCore(
  header: RecordingHeader,
  givenDome: readonly (readonly [number, number])[] | null = null,
): CookCore {
  const { channels, probes, bake = DEFAULT_BAKE, grill: prior = null } = header;
  const pipeline = createPipeline({ channels, probes });
  const targets = { ...DEFAULT_TARGETS, ...header.targets };
  let state = engine.start({ channels, targets, bake, prior, givenDome });
  const log = new LookLog();

  function give(input: EngineInput): EngineOutput[] {
    log.add(state, input);
    const outputs = engine.step(state, input);
    log.answered(outputs);
    return outputs;
  }

  function frame(line: Frame): LineResult {
    const { readings: found, problems } = pipeline.frame(line);
    const was = 'was' in line ? line.was : undefined;
    const readings = was === undefined ? found : found.map((reading) => ({ ...reading, t: was }));
    const outputs: EngineOutput[] = [];
    for (const { t, channel, celsius, quality, isLook } of readings)
      outputs.push(
        ...give(
          isLook && celsius !== null
            ? { kind: 'reading', t, channel, celsius, quality, isLook, id: lookIdOf(line) }
            : { kind: 'reading', t, channel, celsius, quality },
        ),
      );
    return { readings, outputs, problems, remade: null };
  }

  const lookIdOf = (line: Frame): string =>
    (line.source === 'spot' ? line.id : undefined) ?? nextLookId(engine.cook(state).entries);

  /** Takes a look back. The engine does not hear of it: it goes on as if nobody had looked. */
  function strike(look: CookEntry, after: Cook, t: number): LineResult | null {
    const made = log.remade(look.id, struckIn(after), t);
    if (!made) return null;
    const { state: next, ...remade } = made;
    const before = engine.view(state);
    state = next;
    state.cook = after;
    const outputs = [
      ...made.news.map((noticed) => ({ ...noticed, t })),
      ...changesBetween(before, engine.view(state), t),
    ];
    return { readings: [], outputs, problems: [], remade };
  }

  function happened({ t, ...event }: EventLine): LineResult {
    if (event.event === 'undo') {
      const before = engine.cook(state);
      const after = reduce(before, { t, ...event });
      const look = struckBy(before, after);
      const struck = look && strike(look, after, t);
      if (struck) return struck;
    }
    return { readings: [], outputs: give({ kind: 'event', t, event }), problems: [], remade: null };
  }
  return {
    line(line) {
      if (!('event' in line)) return frame(line);
      if (line.event === 'probes') pipeline.use(line.probes);
      return happened(line);
    },
    *prepareUndo(look) {
      const cook = engine.cook(state);
      const after = reduce(cook, { t: state.t, event: 'undo', of: look });
      if (struckBy(cook, after)) yield* log.prepare(look, struckIn(after));
    },
    tick(t) {
      const outputs = engine.step(state, { kind: 'tick', t });
      log.answered(outputs);
      return outputs;
    },
    view: () => engine.view(state),
    ahead: (held) => engine.ahead(state, held),
    back: (bake) => engine.back(state, bake),
    cook: () => engine.cook(state),
    learned: () => engine.learned(state),
    lesson: (prior) => engine.lesson(state, prior),
  };
}

const isStruck = ({ event, undone }: CookEntry): boolean => event.event === 'look' && undone;

const struckIn = ({ entries }: Cook): ReadonlySet<string> =>
  new Set(entries.filter(isStruck).map(({ id }) => id));

/** The look that stood before and does not after. */
const struckBy = (before: Cook, after: Cook): CookEntry | undefined =>
  after.entries.find((entry, i) => isStruck(entry) && before.entries[i]?.undone === false);
