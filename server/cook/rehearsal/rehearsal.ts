import type { RecordingLine } from '../../../shared/recording.ts';
import { createBreath } from '../../store/breath.ts';
import type { Store, StoredReading } from '../../store/store.ts';
import type { Player } from './player.ts';

/** What of the running cook a replay needs. */
type Session = {
  readonly player: Player | null;
  /** @throws Fault `conflict` when no rehearsal is playing */
  playing(): Player;
  apply(line: RecordingLine): StoredReading[];
  /** What goes by time alone, and of it what concerns a pizza on the stone. */
  tick(): void;
  follow(): void;
  changed(readings?: readonly StoredReading[]): void;
};

/** How the playing of a recording is steered; each throws Fault `conflict` when none is playing. */

export function pause(session: Session, paused: boolean): void {
  session.playing().paused = paused;
  session.changed();
}

export function setPace(session: Session, pace: number): void {
  session.playing().pace = pace;
  session.changed();
}

/** What a replay plays on in one turn of the event loop takes no longer than this, ms: faster than that it can't go. */
const MAX_TURN_MS = 20;
/** And so many lines, of whatever cost. */
const MAX_LINES = 200;

/** A pizza on the stone is looked after each so many seconds of the recording. */
const FOLLOW_EVERY_SECONDS = 2;

/** Takes in what falls due in `seconds` of real time, as far as one turn goes. @returns the readings that came of it */
export function takeWithin(
  session: Session,
  player: Player,
  seconds: number,
  now: () => number,
): StoredReading[] {
  const readings: StoredReading[] = [];
  const until = now() + MAX_TURN_MS;
  let followed = player.t;
  let played = 0;
  for (const line of player.advance(seconds)) {
    readings.push(...session.apply(line));
    if (player.t - followed >= FOLLOW_EVERY_SECONDS) {
      followed = player.t;
      session.follow();
    }
    played += 1;
    if (played >= MAX_LINES || now() > until) break;
  }
  return readings;
}

/**
 * Plays on to `t` s at once, letting the event loop turn; time does not move the player meanwhile.
 * @returns whether it got there: another rehearsal or a real cook may have taken its place
 */
export async function playOn(
  session: Session,
  player: Player,
  t: number,
  take: (line: RecordingLine) => void,
): Promise<boolean> {
  const breathe = createBreath();
  player.isSeeking = true;
  for (const line of player.linesTo(t)) {
    take(line);
    await breathe();
    if (session.player !== player) return false;
  }
  player.isSeeking = false;
  return true;
}

/** Removes what was kept of the recording when it was played before. */
export function removePlayed(store: Store, name: string): void {
  for (const old of store.cooks()) if (old.rehearsal && old.name === name) store.removeCook(old.id);
}

/** A rehearsal ends with the server that played it: those that it left are over. @param at ms since the epoch */
export function endPlayed(store: Store, at: number): void {
  for (const { id, rehearsal, endedAt } of store.cooks())
    if (rehearsal && endedAt === null) store.patchCook(id, { endedAt: at });
}

/** Plays on by so many seconds at once and then stands still. */
export async function step(session: Session, seconds: number): Promise<void> {
  const player = session.playing();
  player.paused = true;
  await playTo(session, player.t + seconds);
}

/** Plays on to `t` s at once, with what goes by time looked at each second. */
export async function playTo(session: Session, t: number): Promise<void> {
  const player = session.playing();
  let looked = player.t;
  const take = (line: RecordingLine): void => {
    const readings = session.apply(line);
    if (player.t - looked < 1) return;
    looked = player.t;
    session.tick();
    session.changed(readings);
  };
  if (!(await playOn(session, player, Math.min(player.length, t), take))) return;
  session.tick();
  session.changed();
}
