import type { Clock } from './clock.ts';

/** The wall clock is taken to have been set, and not to drift, from here on, ms. */
const WALL_CLOCK_STEP_MS = 5000;
/** A clock before this was never set since the machine started: the day this was written. */
const SET_SINCE = Date.parse('2026-01-01');

/** Where a cook's time stood on the clock of the machine's present start; kept so that a restart finds it again. */
export type Anchor = { cook: number; boot: string; ms: number; t: number };

/** The time of a live cook: by a clock that never steps, whatever the wall clock says. */
export class CookTime {
  private readonly clock: Clock;
  /** `t` s at `mono` ms. */
  private origin = { t: 0, mono: 0 };
  /** How far the wall clock is ahead of the cook's labels, as far as it is known and let stand, ms. */
  private ahead = 0;
  /** The time since the last line is not known: the first sound wall clock says it. */
  private isGuess = false;

  constructor(clock: Clock) {
    this.clock = clock;
  }

  /** Seconds since the cook started. */
  t(): number {
    return Math.round(this.origin.t * 1000 + this.clock.mono() - this.origin.mono) / 1000;
  }

  set(t: number): void {
    this.origin = { t, mono: this.clock.mono() };
    this.ahead = 0;
    this.isGuess = false;
  }

  anchor(cook: number): Anchor | null {
    const boot = this.clock.boot?.() ?? null;
    return boot && { cook, boot: boot.id, ms: boot.ms, t: this.t() };
  }

  /**
   * Finds the time again after a restart: by the machine's own clock where it has run on since, else by the wall clock,
   * else it goes on from the last line.
   * @param lastT s, of the last line. @param startedAt ms since the epoch
   */
  resume(cook: number, anchor: Anchor | null, lastT: number, startedAt: number): void {
    const boot = this.clock.boot?.() ?? null;
    if (anchor && boot && anchor.cook === cook && anchor.boot === boot.id && boot.ms >= anchor.ms)
      return this.set(Math.max(lastT, Math.round(anchor.t * 1000 + boot.ms - anchor.ms) / 1000));
    const wallT = (this.clock.wall() - startedAt) / 1000;
    this.set(Math.max(lastT, wallT));
    this.isGuess = wallT < lastT;
  }

  /**
   * Looks whether the wall clock was set since. A clock that is set right after it was wrong moves the cook's labels,
   * never its time; only a time that was guessed after a restart is made good.
   * @returns ms by which the labels are to move
   */
  noticeStep(startedAt: number): number {
    const wall = this.clock.wall();
    const ahead = wall - startedAt - this.t() * 1000;
    if (Math.abs(ahead - this.ahead) < WALL_CLOCK_STEP_MS) return 0;
    this.ahead = ahead;
    if (wall < SET_SINCE || (this.isGuess && ahead < 0)) return 0;
    if (this.isGuess) {
      this.set(this.t() + ahead / 1000);
      return 0;
    }
    this.ahead = 0;
    return Math.round(ahead);
  }

  /** @param at ms since the epoch by today's wall clock. @returns the same instant on the cook's labels */
  labelOf(at: number): number {
    return at - Math.round(this.ahead);
  }
}
