import type { Now } from '../../../shared/api/live.ts';
import type { RecordingLine } from '../../../shared/recording.ts';
import {
  marksOf,
  withoutTaps,
  worthFrom,
  type Rehearsing,
  type RehearsalRecording,
} from './rehearsal-recording.ts';

export const REHEARSAL_PACE = 20;

/**
 * Plays a recording by an outside clock: `advance` is given the real time that passed and returns the lines
 * that fell due.
 */
export class Player {
  readonly recording: RehearsalRecording;
  pace: number;
  paused = false;
  /** It is being moved on at once: time does not move it meanwhile. */
  isSeeking = false;
  /** What is before the moment to be shown is gone through: no page hears of it, else it would call what is long over. */
  isBefore = false;
  /** Seconds of the recording played so far. */
  t = 0;
  /** The person does it: what the recording's people tapped is left out. */
  readonly isDone: boolean;
  private readonly marks: NonNullable<Now['rehearsal']>['marks'];
  private next = 0;

  constructor(
    recording: RehearsalRecording,
    pace: number,
    { isDone = false, marks = marksOf(recording) } = {},
  ) {
    this.recording = recording;
    this.pace = pace;
    this.isDone = isDone;
    this.marks = marks;
  }

  /** The same, from the start. */
  again(): Player {
    const { recording, pace, isDone, marks } = this;
    const player = new Player(recording, pace, { isDone, marks });
    player.paused = this.paused;
    return player;
  }

  get length(): number {
    return this.recording.lines.at(-1)?.t ?? 0;
  }

  get ended(): boolean {
    return this.next >= this.recording.lines.length;
  }

  /** The lines that fall due in `seconds` of real time. Whoever stops taking them leaves the rest for the next call. */
  advance(seconds: number): Iterable<RecordingLine> {
    if (this.paused || this.ended) return [];
    const t = Math.round((this.t + seconds * this.pace) * 1000) / 1000;
    return this.linesTo(Math.min(this.length, t));
  }

  /** The lines up to `t`, s, one after the other, time going with them; never goes back. */
  *linesTo(t: number): Generator<RecordingLine> {
    const { lines } = this.recording;
    for (let line = lines[this.next]; line && line.t <= t; line = lines[this.next]) {
      this.next++;
      this.t = Math.max(this.t, line.t);
      yield line;
    }
    this.t = Math.max(this.t, t);
  }

  status(): NonNullable<Now['rehearsal']> {
    const { pace, paused, t, length, ended, recording, isDone, marks } = this;
    const origin = recording.header.origin ?? 'a recording';
    return { name: recording.name, origin, pace, paused, t, length, ended, isDone, marks };
  }
}

/** The player of a rehearsal, and where it begins, s. */
export function rehearsalOf(
  recording: RehearsalRecording,
  pace: number,
  { isDone = false, skip = false, ...how }: Rehearsing,
): { player: Player; t: number } {
  const t = how.t ?? (skip ? worthFrom(recording) : 0);
  const player = new Player(isDone ? withoutTaps(recording, t) : recording, pace, {
    isDone,
    marks: marksOf(recording),
  });
  return { player, t };
}
