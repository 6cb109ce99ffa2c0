import { readFileSync } from 'node:fs';
import { Incoming } from '../../server/cook/incoming.ts';
import { Person } from '../../server/cook/person.ts';
import { Stage } from '../../server/cook/stage.ts';
import { readHeader, readLine } from '../../server/course/read-line.ts';
import { openStore } from '../../server/store/sqlite.ts';
import type { Store } from '../../server/store/store.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { Fault } from '../../shared/fault.ts';
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

/** A timer that goes off when it is told to. */
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

export type Bench = {
  stage: Stage;
  incoming: Incoming;
  person: Person;
  store: Store;
  clock: HandClock;
  folder: string;
};

/** The server's inside without HTTP, on a clock of the test's own. */
export function openStage(folder = scratch(), clock = handClock()): Bench {
  const store = openStore(folder);
  const stage = new Stage({
    store,
    clock,
    changed: () => {},
    sources: () => [],
    lostChannels: () => new Set(),
    tape: (file) => Promise.resolve({ name: file ?? '', ...tape(file ?? 'good-evening') }),
  });
  return { stage, store, clock, folder, incoming: new Incoming(stage), person: new Person(stage) };
}

/** A bundled recording, whole. */
export function tape(name: string): { header: RecordingHeader; lines: RecordingLine[] } {
  const [head = '', ...rest] = readFileSync(fixture(name), 'utf8').trim().split('\n');
  if (!head) throw new Fault('not-found', `There is no fixture ${name}.`);
  return { header: readHeader(head), lines: rest.map(readLine) };
}
