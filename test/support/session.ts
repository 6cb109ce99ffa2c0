import { existsSync, readFileSync } from 'node:fs';
import { readHeader, readLine } from '../../server/core/read-line.ts';
import { composeServer, type Composed } from '../../server/command/serving/compose.ts';
import type { Soon } from '../../server/hub/broadcast.ts';
import type { Source } from '../../server/source/source.ts';
import type { RepairClock } from '../../server/store/database-connection.ts';
import { openStore } from '../../server/store/sqlite.ts';
import type { Store } from '../../server/store/store.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { Fault } from '../../shared/fault.ts';
import { atEnd } from './endings.ts';
import { fixture, scratch } from './server.ts';

/** A clock that stands still until a test moves it, ms. */
export type HandClock = { at: number; wall(): number; mono(): number };
export const handClock = (): HandClock => ({
  at: 0,
  wall() {
    return Date.parse('2026-06-01T17:00:00Z') + this.at;
  },
  mono() {
    return 1000 + this.at;
  },
});

/** A timer that fires when the test asks it to. */
export function handTimer() {
  const never = setTimeout(() => {}, 0);
  let work = (): void => {};
  return {
    set(next: () => void): NodeJS.Timeout {
      work = next;
      return never;
    },
    fire: (): void => work(),
  };
}

/** A store that is closed at the test's end, where the test has not closed it before. */
export function storeIn(folder: string, repairClock: RepairClock = null): Store {
  const store = openStore(folder, repairClock);
  let isOpen = true;
  const close = (): void => {
    if (isOpen) store.close();
    isOpen = false;
  };
  atEnd(close);
  return { ...store, close };
}

type SessionOptions = {
  soon?: Soon;
  sources?: Source[];
  /** Whether it repairs its database. */ repairs?: boolean;
};

export type StoneAndDome = { stone: number; dome: number };
export type Bench = Composed & { clock: HandClock; folder: string };

/**
 * The server's inside without HTTP, on a clock of the test's own; closed at the test's end.
 * @param soon when the hub sends what changed: never by itself, unless a test says so
 */
export function openSession(
  folder = scratch(),
  clock = handClock(),
  { soon = handTimer().set, sources = [], repairs = false }: SessionOptions = {},
): Bench {
  const store = storeIn(folder, repairs ? { now: () => clock.wall() } : null);
  const inside = composeServer({
    store,
    clock,
    recording: async (file) => ({ name: file ?? '', ...bundledRecording(file ?? 'good-evening') }),
    sources: () => sources,
    soon,
  });
  return { ...inside, clock, folder };
}

/** Seconds go by with stone and dome at these, °C, said every `every` s. */
export function pass({ clock, session }: Bench, seconds: number, celsius: StoneAndDome, every = 1): void {
  for (let i = 0; i < seconds; i += every) {
    clock.at += every * 1000;
    const t = session.t();
    for (const channel of ['stone', 'dome'] as const)
      session.apply({ t, channel, celsius: celsius[channel] });
    session.advance();
  }
}

/** A bundled recording, whole. */
export function bundledRecording(name: string): { header: RecordingHeader; lines: RecordingLine[] } {
  if (!/^[\w-]+$/.test(name) || !existsSync(fixture(name)))
    throw new Fault('not-found', `There is no fixture ${name}.`);
  const [head = '', ...rest] = readFileSync(fixture(name), 'utf8').trim().split('\n');
  if (!head) throw new Fault('not-found', `There is no fixture ${name}.`);
  return { header: readHeader(head), lines: rest.map(readLine) };
}
