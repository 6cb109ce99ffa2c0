import type { Now } from '../../shared/live.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';

/** A recording held whole, so that it can be paced, paused and sought. */
export type Tape = { name: string; header: RecordingHeader; lines: readonly RecordingLine[] };

export const REHEARSAL_PACE = 20;

/** Plays a tape by an outside clock: `advance` says how much real time has gone by and gets the lines that fell due. */
export class Player {
  readonly tape: Tape;
  pace: number;
  paused = false;
  /** Seconds of the recording played so far. */
  t = 0;
  private next = 0;

  constructor(tape: Tape, pace: number) {
    this.tape = tape;
    this.pace = pace;
  }

  get length(): number {
    return this.tape.lines.at(-1)?.t ?? 0;
  }

  get ended(): boolean {
    return this.next >= this.tape.lines.length;
  }

  /** @param seconds of real time since the last call */
  advance(seconds: number): RecordingLine[] {
    if (this.paused || this.ended) return [];
    const t = Math.round((this.t + seconds * this.pace) * 1000) / 1000;
    return this.playTo(Math.min(this.length, t));
  }

  /** The lines up to `t`, s, whatever the pace; never goes back. */
  playTo(t: number): RecordingLine[] {
    const first = this.next;
    const { lines } = this.tape;
    while (this.next < lines.length && (lines[this.next]?.t ?? 0) <= t) this.next++;
    this.t = Math.max(this.t, t);
    return lines.slice(first, this.next);
  }

  status(): NonNullable<Now['rehearsal']> {
    const { pace, paused, t, length, ended, tape } = this;
    return { name: tape.name, origin: tape.header.origin ?? 'a recording', pace, paused, t, length, ended };
  }
}
