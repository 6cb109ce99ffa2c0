import { readFileSync } from 'node:fs';

/** Time as an argument: `mono` for rates and timers, `wall` for labels only. Both in milliseconds. */
export interface Clock {
  /** Milliseconds of a clock that never steps, and goes on while the machine sleeps. */
  mono(): number;
  /** Milliseconds since the epoch; may step. */
  wall(): number;
  /** Since this start of the machine, sleep included: the same for every process till the next; null where unknown. */
  boot?(): { id: string; ms: number } | null;
}

/** Less than this between the two clocks is their grain and not a sleep, ms. */
const CLOCK_GRAIN_MS = 1500;

/** @param running ms, stands still while the machine sleeps. @param boot ms, does not; null where unknown */
export function sleeplessClock(running: () => number, boot: () => number | null): () => number {
  let behind = 0;
  let slept = 0;
  let looked = Number.NaN;
  return () => {
    const now = running();
    // Reading the other clock costs a system call: a few times a second is enough.
    if (now - looked < 200) return now + slept;
    looked = now;
    const since = boot();
    if (since === null) return now;
    if (behind === 0) behind = since - now;
    if (since - now - behind - slept > CLOCK_GRAIN_MS) slept = since - now - behind;
    return now + slept;
  };
}

/** Linux keeps both (proc(5), random(4)); elsewhere they are not known. */
function bootOf(): { id: string; ms: number } | null {
  try {
    const id = readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim();
    const ms = Number(readFileSync('/proc/uptime', 'utf8').split(' ')[0]) * 1000;
    return id && Number.isFinite(ms) ? { id, ms } : null;
  } catch {
    return null;
  }
}

export const systemClock: Clock = {
  mono: sleeplessClock(
    () => performance.now(),
    () => bootOf()?.ms ?? null,
  ),
  wall: () => Date.now(),
  boot: bootOf,
};

/** @returns what `ask` says, until it has said the same for `ms` */
export function shownFor(ms: number, clock: Clock, ask: () => string | null): () => string | null {
  let text: string | null = null;
  let since = 0;
  return () => {
    const [current, at] = [ask(), clock.mono()];
    if (current !== text) since = at;
    text = current;
    return at - since < ms ? text : null;
  };
}
