import { messageOf } from '../../shared/fault.ts';
import { systemClock, type Clock } from './timing.ts';
import type { FrameBody, Source, SourceEvents, SourceStatus } from './source.ts';

/** More than any thermometers say together, frames a second: what comes beyond is left out. */
export const MAX_FRAMES = 5000;
/**
 * More than one thermometer says, however many probes it has, frames a second: beyond it a device that floods would take the
 * place of the others, and fill the disk with what nobody can read.
 */
export const MAX_OF_DEVICE = 50;
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
  /** Frames of each device, and of all (`''`), since `from`. */
  const counts = new Map<string, number>();
  /** What floods, a device or all, by when it last said too much. */
  const floods = new Map<string, number>();
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
  /** Whether one more frame of a device can be taken; says so when that changes. */
  function isTaken(device: string): boolean {
    if (clock.now() - from >= WINDOW_MS) {
      from = clock.now();
      counts.clear();
    }
    // What is left out of a device takes nothing away from the others.
    return (device === ALL || isWithin(device, MAX_OF_DEVICE)) && isWithin(ALL, MAX_FRAMES);
  }
  function isWithin(what: string, most: number): boolean {
    const count = (counts.get(what) ?? 0) + 1;
    counts.set(what, count);
    if (count <= most) return true;
    const isNew = !floods.has(what);
    floods.set(what, clock.now());
    if (isNew) tell();
    if (floods.size === 1 && isNew) watchFloods();
    return false;
  }
  /** A flood may end with silence, in which no frame comes that could tell. */
  function watchFloods(): void {
    unwatch = clock.after(2 * WINDOW_MS, () => {
      for (const [what, at] of floods) if (clock.now() - at >= 2 * WINDOW_MS) floods.delete(what);
      tell();
      if (floods.size > 0) watchFloods();
    });
  }
  function tell(): void {
    events?.status({
      ...last,
      ...(floods.has(ALL) && { state: 'failed', ...flooding(MAX_FRAMES, FIND_IT) }),
      devices: last.devices.map((device) =>
        floods.has(device.id) && device.problem === undefined
          ? { ...device, ...flooding(MAX_OF_DEVICE, SLOW_DOWN) }
          : device,
      ),
    });
  }
  return {
    kind: source.kind,
    start(given) {
      events = given;
      attempt(() =>
        source.start({
          frame(body) {
            if (isTaken(deviceOf(body))) attempt(() => given.frame(body));
          },
          status(status) {
            last = status;
            tell();
          },
        }),
      );
    },
    subscribe: (subscriptions) => attempt(() => source.subscribe(subscriptions)),
    look: (at, seconds) => attempt(() => source.look(at, seconds)),
    stop: () =>
      new Promise((resolve) => {
        unwatch();
        floods.clear();
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

/** All devices of the source together. */
const ALL = '';
function deviceOf(body: FrameBody): string {
  if (body.source === 'ble') return body.device;
  if (body.source === 'mqtt') return body.topic;
  return body.source === 'serial' ? body.port : ALL;
}

const FIND_IT = 'Find the device that talks without a pause, and switch it off.';
const SLOW_DOWN = 'Let it send less often: once a second is enough.';
const flooding = (most: number, remedy: string): { problem: string; remedy: string } => ({
  problem: `It says more than ${most} things a second: some are left out.`,
  remedy,
});
