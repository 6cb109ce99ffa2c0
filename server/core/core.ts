import {
  DEFAULT_BAKE,
  DEFAULT_TARGETS,
  type EngineOutput,
  type EngineView,
  type GrillLesson,
  type GrillPrior,
} from '../../shared/engine.ts';
import type { Cook } from '../../shared/cook/reduce.ts';
import type { Reading } from '../../shared/reading.ts';
import type { Frame, RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { engine } from '../engine/cook-engine.ts';

export { knownOf } from '../engine/grill-figures.ts';
import { createPipeline, type Problem } from '../ingest/pipeline.ts';

/** What one line did. */
type LineResult = { readings: Reading[]; outputs: EngineOutput[]; problems: Problem[] };

/**
 * One cook through decoders, conversion, trust and engine, without clock or I/O: a live cook, a replay, an import
 * and the recovery after a crash all feed it the same lines and get the same answers.
 */
export type CookCore = {
  line(line: RecordingLine): LineResult;
  /** Time has passed, `t` seconds since the start, and nothing came. */
  tick(t: number): EngineOutput[];
  view(): EngineView;
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
  const state = engine.start({ channels, targets, bake, prior, givenDome });

  function frame(line: Frame): LineResult {
    const { readings: found, problems } = pipeline.frame(line);
    const was = 'was' in line ? line.was : undefined;
    const readings = was === undefined ? found : found.map((reading) => ({ ...reading, t: was }));
    const outputs: EngineOutput[] = [];
    for (const { t, channel, celsius, quality, isLook } of readings)
      outputs.push(
        ...engine.step(
          state,
          isLook
            ? { kind: 'reading', t, channel, celsius, quality, isLook }
            : { kind: 'reading', t, channel, celsius, quality },
        ),
      );
    return { readings, outputs, problems };
  }
  return {
    line(line) {
      if (!('event' in line)) return frame(line);
      if (line.event === 'probes') pipeline.use(line.probes);
      const { t, ...event } = line;
      return { readings: [], outputs: engine.step(state, { kind: 'event', t, event }), problems: [] };
    },
    tick: (t) => engine.step(state, { kind: 'tick', t }),
    view: () => engine.view(state),
    cook: () => engine.cook(state),
    learned: () => engine.learned(state),
    lesson: (prior) => engine.lesson(state, prior),
  };
}
