import type { RecordingHeader, RecordingLine } from '../../../shared/recording.ts';
import { createCore, type CookCore } from '../../core/core.ts';
import { freshWatch, isRelit, watched, type Watch } from '../../evening/after/relit.ts';
import { atOnce } from '../../../shared/work/in-pieces.ts';
import type { Store, StoredReading } from '../../store/store.ts';
import { isAtGrill } from '../history/cook-entries.ts';
import type { RunningCook } from './running.ts';

/** Readings with no longer a gap than this belong to the cook that was ended, ms: probes stay warm for hours. */
const CONTINUES_MS = 3 * 3600_000;
const KEY = 'ended-by-hand';

type After = {
  cook: number;
  startedAt: number;
  roles: ReadonlyMap<string, string>;
  /** Whether anybody said what happened at the grill: only then is it known that there was a fire. */
  wasTended: boolean;
  core: CookCore;
  /** When each channel was last heard, and when anything was, ms since the epoch. */
  lastAt: Map<string, number>;
  last: number;
  t: number;
  watch: Watch;
};

/**
 * What probes that are still warm say after a person has ended their cook: it is kept with that cook, and begins no other,
 * until a fire is seen to have been lit again.
 */
export class Tail {
  private readonly store: Store;
  private after: After | null = null;

  constructor(store: Store) {
    this.store = store;
    this.resume();
  }

  /** To be called when a person ends this cook, at `wall` ms. */
  ended({ id, startedAt, header, last, events }: RunningCook, wall: number): void {
    this.after = afterOf(id, startedAt, header, wall, events.some(isAtGrill));
    for (const [channel, { reading }] of last) this.after.lastAt.set(channel, reading.at);
    this.store.putSetting(KEY, id);
  }

  /** To be called when another cook begins. */
  begun(): void {
    this.after = null;
    this.store.putSetting(KEY, null);
  }

  private resume(): void {
    const id = this.store.setting(KEY);
    const cook = typeof id === 'number' ? this.store.cook(id) : null;
    if (!cook || cook.endedAt === null) return;
    this.after = afterOf(
      cook.id,
      cook.startedAt,
      cook.header,
      cook.endedAt,
      this.store.events(cook.id).some(isAtGrill),
    );
    for (const { channel, at } of atOnce(this.store.downsampled(cook.id, {}, 20)))
      this.after.lastAt.set(channel, at);
  }

  /** Whether posted readings of these channels go on from the cook that was ended; after one that nobody tended they begin another. */
  goesOn(channels: readonly string[], wall: number): boolean {
    const { after } = this;
    if (!after?.wasTended || !this.isStored(after)) return false;
    return channels.some((id) => wall - (after.lastAt.get(id) ?? -Infinity) < CONTINUES_MS);
  }

  /** The same of a frame, of which nobody knows yet what is in it. */
  framesGoOn(wall: number): boolean {
    return this.after !== null && this.isStored(this.after) && wall - this.after.last < CONTINUES_MS;
  }

  /** A cook that was deleted takes nothing more. */
  private isStored({ cook }: After): boolean {
    return this.store.cook(cook) !== null;
  }

  /** When the cook began to which `take` adds, ms. */
  get startedAt(): number {
    return this.after?.startedAt ?? 0;
  }

  /** Keeps a line with the cook that was ended, made for its time, s. @returns whether a fire was lit again */
  take(lineAt: (t: number) => RecordingLine, wall: number): boolean {
    const { after } = this;
    if (!after) return false;
    after.t = Math.max(after.t, (wall - after.startedAt) / 1000);
    after.last = wall;
    const line = lineAt(after.t);
    this.store.addLine(after.cook, line);
    for (const reading of after.core.line(line).readings) this.keep(after, reading, wall);
    return isRelit(after.watch, after.t);
  }

  private keep(after: After, reading: Omit<StoredReading, 'at'>, wall: number): void {
    const { channel, t, celsius, quality } = reading;
    this.store.addReading(after.cook, { ...reading, at: Math.round(after.startedAt + t * 1000) });
    after.lastAt.set(channel, wall);
    const role = after.roles.get(channel);
    if (celsius !== null && quality === 'good' && (role === 'stone' || role === 'dome'))
      after.watch = watched(after.watch, role, t, celsius);
  }
}

const afterOf = (
  cook: number,
  startedAt: number,
  header: RecordingHeader,
  last: number,
  wasTended: boolean,
): After => ({
  cook,
  startedAt,
  wasTended,
  roles: new Map(header.channels.map(({ id, role }) => [id, role])),
  core: createCore(header),
  lastAt: new Map(),
  last,
  t: (last - startedAt) / 1000,
  watch: freshWatch(),
});
