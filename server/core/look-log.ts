import { LOOK_UNDO_SECONDS } from '../../shared/cook/reduce.ts';
import type { EngineInput, EngineOutput, Forecast } from '../../shared/engine.ts';
import { engine, type EngineState } from '../engine/cook-engine.ts';
import { atOnce, type InPieces } from '../../shared/work/in-pieces.ts';

type Look = EngineInput & { kind: 'reading'; isLook: true };
type Noticed = Extract<EngineOutput, { type: 'noticed' }>;

/** The engine as it was before an input, by its number. */
type Checkpoint = { at: number; t: number; state: EngineState };

/** A run without looks that were taken back, as far as it has come. */
type Rerun = {
  /** Which looks are left out. */
  key: string;
  from: number;
  /** The number of the next input. */
  at: number;
  state: EngineState;
  /** What the checkpoints on the way become. */
  states: Map<number, EngineState>;
  forecasts: Forecast[];
  noticed: Noticed[];
};

/** The engine without a look, and what it says of the time since `from`, s. */
export type Remade = {
  state: EngineState;
  from: number;
  /** All of them, that of now too. */
  forecasts: readonly Forecast[];
  /** What was noticed since, and what of it the run with the look had not noticed. */
  noticed: readonly Noticed[];
  news: readonly Noticed[];
};

/** So far apart are checkpoints, s, beside those of the last two looks: what is run again takes at most so much longer. */
const CHECKPOINT_SECONDS = 900;
/** Silence is gone through in pieces of so many seconds. */
const TICK_SECONDS = 60;

export const isLook = (input: EngineInput): input is Look =>
  input.kind === 'reading' && input.isLook === true;

/**
 * What the engine was given since the first look that can still be taken back, so that it can be given the same without
 * that look: its state is then that of a cook in which nobody looked. Nothing is held of a cook without looks.
 */
export class LookLog {
  private inputs: EngineInput[] = [];
  /** Number of the first input that is held. */
  private first = 0;
  private checkpoints: Checkpoint[] = [];
  private noticed: Noticed[] = [];
  private lookedAt = -Infinity;
  private rerun: Rerun | null = null;

  /** To be called with each input before the engine takes it. */
  add(state: EngineState, input: EngineInput): void {
    if (isLook(input)) this.look(state, input);
    if (this.checkpoints.length === 0) return;
    this.inputs.push(input);
    if (input.t - (this.checkpoints[1]?.t ?? this.lookedAt) > LOOK_UNDO_SECONDS) this.forget();
  }

  /** To be called with what the engine answered. */
  answered(outputs: readonly EngineOutput[]): void {
    if (this.checkpoints.length === 0) return;
    for (const output of outputs) if (output.type === 'noticed') this.noticed.push(output);
  }

  private look(state: EngineState, look: Look): void {
    // One that a page had to hold is taken in as of the last input.
    const t = Math.max(state.t, look.t);
    this.lookedAt = t;
    const { checkpoints } = this;
    checkpoints.push({ at: this.first + this.inputs.length, t, state: structuredClone(state) });
    const [before, middle] = checkpoints.slice(-4);
    if (checkpoints.length > 3 && before && middle && middle.t - before.t < CHECKPOINT_SECONDS)
      checkpoints.splice(-3, 1);
  }

  private forget(): void {
    this.checkpoints.shift();
    const [oldest] = this.checkpoints;
    const count = oldest ? oldest.at - this.first : this.inputs.length;
    this.inputs.splice(0, count);
    this.first += count;
    this.noticed = this.noticed.filter(({ t }) => t >= (oldest?.t ?? Infinity));
    this.rerun = null;
  }

  /** Runs without these looks as far as inputs have come, in pieces, so that `remade` has little left to do. */
  *prepare(look: string, struck: ReadonlySet<string>): InPieces<void> {
    const rerun = this.begun(look, struck);
    if (!rerun) return;
    const take = (input: EngineInput): void => {
      for (const output of engine.step(rerun.state, input))
        if (output.type === 'forecast') rerun.forecasts.push(output);
        else if (output.type === 'noticed') rerun.noticed.push(output);
    };
    // An older one that was begun and left is of no use.
    for (; rerun === this.rerun && rerun.at < this.first + this.inputs.length; rerun.at++) {
      const input = this.inputs[rerun.at - this.first];
      if (!input) return;
      if (this.checkpoints.some(({ at }) => at === rerun.at))
        rerun.states.set(rerun.at, structuredClone(rerun.state));
      if (isLook(input) && input.id !== undefined && struck.has(input.id)) continue;
      for (let t = rerun.state.t + TICK_SECONDS; t < input.t; t += TICK_SECONDS) {
        take({ kind: 'tick', t });
        yield;
      }
      take(input);
      yield;
    }
  }

  private begun(look: string, struck: ReadonlySet<string>): Rerun | null {
    const key = [...struck].join('\n');
    if (this.rerun?.key === key) return this.rerun;
    const place = this.inputs.findIndex((input) => isLook(input) && input.id === look);
    const start = this.checkpoints.findLast(({ at }) => place >= 0 && at <= this.first + place);
    this.rerun = start
      ? {
          key,
          from: start.t,
          at: start.at,
          state: structuredClone(start.state),
          states: new Map(),
          forecasts: [],
          noticed: [],
        }
      : null;
    return this.rerun;
  }

  /**
   * The engine at `t` s as if nobody had taken these looks, which is the one that goes on.
   * @param look the one of them that was just taken back
   * @returns null where it is no longer held
   */
  remade(look: string, struck: ReadonlySet<string>, t: number): Remade | null {
    atOnce(this.prepare(look, struck));
    const { rerun } = this;
    if (!rerun) return null;
    const { state, from, states, forecasts, noticed } = rerun;
    for (const output of engine.step(state, { kind: 'tick', t }))
      if (output.type === 'forecast') forecasts.push(output);
      else if (output.type === 'noticed') noticed.push(output);
    for (const checkpoint of this.checkpoints)
      checkpoint.state = states.get(checkpoint.at) ?? checkpoint.state;
    const isKnown = ({ event, at }: Noticed): boolean =>
      this.noticed.some((known) => known.event === event && known.at === at);
    const news = noticed.filter((each) => !isKnown(each));
    this.noticed = [...this.noticed.filter((each) => each.t < from), ...noticed];
    this.rerun = null;
    return { state, from, forecasts, noticed, news };
  }
}
