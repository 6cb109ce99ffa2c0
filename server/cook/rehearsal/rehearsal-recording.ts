import type { Now } from '../../../shared/api/live.ts';
import type { CookEventName } from '../../../shared/event.ts';
import type { RecordingHeader, RecordingLine } from '../../../shared/recording.ts';

/** A recording held whole, so that it can be paced, paused and sought. */
export type RehearsalRecording = { name: string; header: RecordingHeader; lines: readonly RecordingLine[] };

/** How a rehearsal is played: `t` is where it begins, s; `byPlan`, as if it were the plan's evening. */
export type Rehearsing = {
  t?: number;
  byPlan?: boolean;
  skip?: boolean;
  isDone?: boolean;
  /** Takes the place of a real cook, which is ended. */
  instead?: boolean;
};

/** What sets a cook up; all else people tap, and who does a rehearsal taps it themselves. */
const SETUP_EVENTS: readonly CookEventName[] = ['fire-lit', 'probes', 'targets'];

/** The recording without what was tapped after `t` s. */
export const withoutTaps = (recording: RehearsalRecording, t: number): RehearsalRecording => ({
  ...recording,
  lines: recording.lines.filter(
    (line) => !('event' in line) || line.t <= t || SETUP_EVENTS.includes(line.event),
  ),
});

/** So long before the first launch a rehearsal is worth looking at, s. */
const LEAD_SECONDS = 8 * 60;

const launchesOf = ({ lines }: RehearsalRecording): number[] =>
  lines.flatMap((line) => ('event' in line && line.event === 'launch' ? [line.t] : []));

/** Where it begins to be worth looking at, s: a while before the first launch; the start where nothing is launched. */
export const worthFrom = (recording: RehearsalRecording): number => {
  const [first] = launchesOf(recording);
  return first === undefined ? 0 : Math.max(0, Math.floor(first - LEAD_SECONDS));
};

/** So long before a mark a jump lands, s: what leads to it is seen. */
const JUMP_LEAD_SECONDS = 30;
const MAX_LAUNCHES = 6;

/** Moments to jump to: the lit fire, and each launch. */
export function marksOf(recording: RehearsalRecording): NonNullable<Now['rehearsal']>['marks'] {
  const lit = recording.lines.find((line) => 'event' in line && line.event === 'fire-lit');
  const launches = launchesOf(recording)
    .slice(0, MAX_LAUNCHES)
    .map((t, i) => ({ t: Math.max(0, Math.floor(t - JUMP_LEAD_SECONDS)), label: `Pizza ${i + 1}` }));
  return [...(lit ? [{ t: Math.floor(lit.t), label: 'Fire lit' }] : []), ...launches];
}
