import { messageOf } from '../../shared/fault.ts';
import { systemClock, type Clock } from './timing.ts';
import type { Source, SourceEvents, SourceStatus } from './source.ts';

/** More than any thermometers say together, frames a second: what comes beyond is left out. */
export const MAX_FRAMES = 5000;
/** A source that does not stop within this time is left behind, ms. */
export const STOP_TIMEOUT_MS = 3000;
const WINDOW_MS = 1000;

/**
 * Holds a source to its port: what it throws becomes a status, what it floods with is cut off and reported,
 * and it can keep neither the end of the server nor the other sources waiting.
 */
export function guarded(source: Source, clock: Clock = systemClock): Source {
  let events: SourceEvents | null = null;
  let last: SourceStatus = { source: source.kind, state: 'starting', devices: [] };
  let from = clock.now();
  let frames = 0;
  let isFlood = false;
  let unwatch = (): void => {};

  function attempt(work: () => void): void {
    try {
      work();
    } catch (error) {
      events?.status({
        ...last,
        state: 'failed',
        problem: `It broke down (${messageOf(error)}).`,
        remedy: 'Start peelside again; if it comes back, run "peelside doctor".',
      });
    }
  }
  /** Whether one more frame can be taken; says so when that changes. */
  function isInUse(): boolean {
    if (clock.now() - from >= WINDOW_MS) {
      if (frames <= MAX_FRAMES) resume();
      from = clock.now();
      frames = 0;
    }
    frames += 1;
    if (frames === MAX_FRAMES + 1 && !isFlood) {
      isFlood = true;
      events?.status({
        ...last,
        state: 'failed',
        problem: `It says more than ${MAX_FRAMES} things a second: some are left out.`,
        remedy: 'Find the device that talks without a pause, and switch it off.',
      });
      watchFlood();
    }
    return frames <= MAX_FRAMES;
  }
  function resume(): void {
    unwatch();
    if (isFlood) events?.status(last);
    isFlood = false;
  }
  /** A flood may end with silence, in which no frame comes that could tell. */
  function watchFlood(): void {
    unwatch = clock.after(2 * WINDOW_MS, () => (clock.now() - from >= WINDOW_MS ? resume() : watchFlood()));
  }
  return {
    kind: source.kind,
    start(given) {
      events = given;
      attempt(() =>
        source.start({
          frame(body) {
            if (isInUse()) attempt(() => given.frame(body));
          },
          status(status) {
            last = status;
            if (!isFlood) given.status(status);
          },
        }),
      );
    },
    subscribe: (subscriptions) => attempt(() => source.subscribe(subscriptions)),
    look: (at, seconds) => attempt(() => source.look(at, seconds)),
    stop: () =>
      new Promise((resolve) => {
        unwatch();
        isFlood = false;
        const off = clock.after(STOP_TIMEOUT_MS, resolve);
        Promise.resolve()
          .then(() => source.stop())
          .catch((error: unknown) => console.error(`A source did not stop well (${messageOf(error)}).`))
          .finally(() => {
            off();
            resolve();
          });
      }),
  };
}
