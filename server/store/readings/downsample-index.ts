import { LAST_INSTANT } from '../../../shared/bounds.ts';
import type { Connection } from '../database-connection.ts';
import type { Queue } from '../queue.ts';
import { row, rows, toReading, type ReadingRow } from '../rows.ts';
import type { ReadingQuery, StoredReading } from '../store.ts';
import type { InPieces } from '../../../shared/work/in-pieces.ts';
import { sharing, Thinning } from './thin.ts';

/** Width of a slot, s: a view of 600 buckets is drawn from slots once it is longer than 5 hours. */
const SLOT_SECONDS = 30;

/** What stands out in one slot of a channel. */
type Slot = {
  slot: number;
  low: StoredReading | null;
  high: StoredReading | null;
  silent: StoredReading | null;
};
/** The slot that is being filled. */
type Filling = { slot: Slot | null };

export type DownsampleIndex = {
  /** To be called with each reading as it is added. */
  add(cook: number, reading: StoredReading): void;
  /** To be called after a reading was removed: its slot is made anew. */
  remade(cook: number, removed: Pick<StoredReading, 'channel' | 'at' | 't'>): void;
  /** The cook's readings were removed, or dated anew. */
  forget(cook: number): void;
  downsampled(cook: number, query: ReadingQuery, points: number): InPieces<StoredReading[]>;
};

const COLUMNS = 'channel, at, t, celsius, quality, reason';
const TAKE = `UPDATE SET (at, t, celsius, quality, reason) =
  (excluded.at, excluded.t, excluded.celsius, excluded.quality, excluded.reason)`;
/** Readings read at a time. */
const PAGE_READINGS = 2000;
/** A view of more readings than these, of all channels, is drawn from slots, however short it is. */
const MANY_READINGS = 50_000;
const FIRST_SLOT = 0;
const LAST = LAST_INSTANT;

/**
 * Keeps the extremes of a channel's slots, written when the next slot begins, and draws from them. A slot of
 * a crash is rebuilt from the readings when the channel is next written or drawn.
 */
export function createDownsampleIndex(db: Connection, queue: Queue): DownsampleIndex {
  /** By part: lowest, highest, silent. */
  const put = [
    `${TAKE} WHERE excluded.celsius < celsius`,
    `${TAKE} WHERE excluded.celsius > celsius`,
    'NOTHING',
  ].map((conflict) => merging(db, conflict));
  const lastAt = db.statement(
    'SELECT at FROM peak WHERE cook = ? AND channel = ? AND width = ? ORDER BY slot DESC LIMIT 1',
    true,
  );
  const between = db.statement(
    `SELECT ${COLUMNS} FROM reading WHERE cook = ? AND channel = ? AND at BETWEEN ? AND ? ORDER BY at, seq`,
  );
  const removeSlot = db.statement(
    'DELETE FROM peak WHERE cook = ? AND channel = ? AND width = ? AND slot = ?',
  );
  const page = db.statement(
    `SELECT ${COLUMNS}, seq FROM reading WHERE cook = ? AND channel = ? AND (at, seq) > (?, ?) AND at <= ?
     ORDER BY at, seq LIMIT ${PAGE_READINGS}`,
  );
  /**
   * Of a channel's buckets of so many slots, counted from a slot, the extremes: SQLite takes the row that has
   * them along.
   */
  const slots = db.statement(
    (['min(celsius) AS celsius', 'max(celsius) AS celsius', 'NULL AS celsius'] as const)
      .map(
        (
          celsius,
          part,
        ) => `SELECT channel, at, ${part === 2 ? 'min(t) AS t' : 't'}, ${celsius}, quality, reason
          FROM peak WHERE cook = ? AND channel = ? AND width = ? AND slot BETWEEN ? AND ? AND part = ${part}
          GROUP BY (slot - CAST(? AS INTEGER)) / CAST(? AS INTEGER)`,
      )
      .join(' UNION ALL ') + ' ORDER BY t',
  );
  const end = (order: 'ASC' | 'DESC') =>
    db.statement(
      `SELECT ${COLUMNS}, seq FROM reading WHERE cook = ? AND channel = ? AND at BETWEEN ? AND ?
       ORDER BY at ${order}, seq ${order} LIMIT 1`,
    );
  const first = end('ASC');
  const last = end('DESC');
  const nextChannel = db.statement('SELECT min(channel) FROM reading WHERE cook = ? AND channel > ?', true);
  const cooks = new Map<number, Map<string, Filling>>();
  let repairNote = db.repairNote();

  function write(cook: number, { slot, low, high, silent }: Slot): void {
    [low, high, silent].forEach((r, part) => {
      if (r === null) return;
      const { channel, at, t, celsius, quality, reason = null } = r;
      queue.add(() =>
        put[part]?.run(cook, channel, SLOT_SECONDS, slot, part, at, t, celsius, quality, reason),
      );
    });
  }
  function add(cook: number, filling: Filling, reading: StoredReading): void {
    const slot = slotOf(reading);
    const open = filling.slot;
    if (open && slot < open.slot) return write(cook, taking(empty(slot), reading));
    if (open && slot > open.slot) write(cook, open);
    filling.slot = taking(open?.slot === slot ? open : empty(slot), reading);
  }
  /** What this process has not seen of a channel is gone through once. */
  function known(cook: number, channel: string): Filling {
    // A repaired database has the readings alone.
    if (db.repairNote() !== repairNote) cooks.clear();
    repairNote = db.repairNote();
    let channels = cooks.get(cook);
    if (!channels) cooks.set(cook, (channels = new Map()));
    let found = channels.get(channel);
    if (found) return found;
    queue.flush();
    channels.set(channel, (found = { slot: null }));
    const reached = row<number>(lastAt.get(cook, channel, SLOT_SECONDS)) ?? FIRST_SLOT;
    for (const each of rows<ReadingRow>(between.all(cook, channel, reached, LAST)))
      add(cook, found, toReading(each));
    return found;
  }
  function* channelsOf(cook: number): Generator<string> {
    for (let channel = ''; ;) {
      const next = row<string>(nextChannel.get(cook, channel));
      if (next === null) return;
      yield (channel = next);
    }
  }
  /** Rows from and to an instant, ms, each given to `take`, page by page: of one instant there may be any number. */
  function* whole(
    cook: number,
    channel: string,
    [from, to]: readonly [number, number],
    take: (row: ReadingRow) => void,
  ): InPieces<void> {
    for (let [at, seq] = [from - 1, Number.MAX_SAFE_INTEGER]; ;) {
      const found = rows<ReadingRow & { seq: number }>(page.all(cook, channel, at, seq, to));
      for (const { seq: _, ...row } of found) take(row);
      const last = found.at(-1);
      if (!last || found.length < PAGE_READINGS) return;
      [at, seq] = [last.at, last.seq];
      yield;
    }
  }
  function* drawn(
    cook: number,
    channel: string,
    [from, to]: readonly [number, number],
    points: number,
  ): InPieces<ReadingRow[]> {
    const [head, tail] = [first, last].map((statement) =>
      row<ReadingRow & { seq: number }>(statement.get(cook, channel, from, to)),
    );
    if (!head || !tail) return [];
    // One bucket less than asked for, since the first and the last are seldom whole.
    const wanted = (tail.t - head.t) / Math.max(1, Math.floor(points / 2) - 1);
    const [begin, finish] = [slotOf(head) + 1, slotOf(tail) - 1];
    const isShort = SLOT_SECONDS > wanted || begin > finish;
    const isMany = Math.abs(tail.seq - head.seq) > MANY_READINGS;
    if (isShort && !isMany) {
      const thinning = new Thinning<ReadingRow>(points, sharing(head.t, tail.t, points));
      yield* whole(cook, channel, [from, to], (row) => thinning.take(row));
      return thinning.rows();
    }
    const { slot: open } = known(cook, channel);
    queue.flush();
    // `at` is the cook's start and `t`, rounded to the millisecond: where the whole slots begin and end.
    const edge = (slot: number): number => Math.round(head.at + (slot * SLOT_SECONDS - head.t) * 1000);
    // Where the view cuts none, the slots at its ends are whole too.
    const isBySlots = isShort || (from === FIRST_SLOT && to === LAST);
    const [lowest, highest] = isBySlots ? [begin - 1, finish + 1] : [begin, finish];
    const many = Math.max(1, Math.ceil(wanted / SLOT_SECONDS));
    const inner = [
      cook,
      channel,
      SLOT_SECONDS,
      lowest,
      highest,
      Math.floor(lowest / many) * many,
      many,
    ] as const;
    const width = many * SLOT_SECONDS;
    const thinning = new Thinning<ReadingRow>(points, (t) => Math.floor(t / width));
    if (isBySlots) {
      const { seq: _head, ...start } = head;
      const { seq: _tail, ...end } = tail;
      const stored = rows<ReadingRow>(slots.all(...inner, ...inner, ...inner));
      const filling = open ? [open.silent, open.low, open.high].filter((r) => r !== null).map(toRow) : [];
      thinning.take(start);
      for (const each of [...stored, ...filling].sort((a, b) => a.t - b.t))
        if (each.at >= from && each.at <= to && !isSame(each, start) && !isSame(each, end))
          thinning.take(each);
      if (!isSame(start, end)) thinning.take(end);
      return thinning.rows();
    }
    yield* whole(cook, channel, [from, edge(begin)], (row) => {
      if (slotOf(row) < begin) thinning.take(row);
    });
    for (const each of rows<ReadingRow>(slots.all(...inner, ...inner, ...inner))) thinning.take(each);
    yield* whole(cook, channel, [edge(finish + 1) - 1, to], (row) => {
      if (slotOf(row) > finish) thinning.take(row);
    });
    return thinning.rows();
  }
  return {
    add: (cook, reading) => add(cook, known(cook, reading.channel), reading),
    remade(cook, { channel, at, t }) {
      const filling = known(cook, channel);
      queue.flush();
      const slot = slotOf({ t });
      const around = SLOT_SECONDS * 1000;
      const whole = rows<ReadingRow>(between.all(cook, channel, at - around, at + around))
        .filter((row) => slotOf(row) === slot)
        .reduce((made, row) => taking(made, toReading(row)), empty(slot));
      queue.add(() => removeSlot.run(cook, channel, SLOT_SECONDS, slot));
      if (filling.slot?.slot === slot) filling.slot = whole;
      else write(cook, whole);
    },
    forget: (cook) => void cooks.delete(cook),
    *downsampled(cook, query, points) {
      queue.flush();
      const { channel } = query;
      const from = Math.max(FIRST_SLOT, query.from ?? FIRST_SLOT);
      const to = Math.min(LAST, query.to ?? LAST);
      const channels = channel === undefined ? [...channelsOf(cook)] : [channel];
      const found: ReadingRow[] = [];
      for (const channel of channels) {
        found.push(...(yield* drawn(cook, channel, [from, to], points)));
        yield;
      }
      return found.sort((a, b) => a.t - b.t).map(toReading);
    },
  };
}

const toRow = ({ channel, at, t, celsius, quality, reason }: StoredReading): ReadingRow => ({
  channel,
  at,
  t,
  celsius,
  quality,
  reason: reason ?? null,
});

const isSame = (a: ReadingRow, b: ReadingRow): boolean => a.at === b.at && a.celsius === b.celsius;

const slotOf = ({ t }: { t: number }): number => Math.floor(t / SLOT_SECONDS);

const empty = (slot: number): Slot => ({ slot, low: null, high: null, silent: null });

function taking(slot: Slot, reading: StoredReading): Slot {
  const { celsius } = reading;
  if (celsius === null) slot.silent ??= reading;
  else {
    if (slot.low === null || celsius < (slot.low.celsius ?? 0)) slot.low = reading;
    if (slot.high === null || celsius > (slot.high.celsius ?? 0)) slot.high = reading;
  }
  return slot;
}

const merging = (db: Connection, conflict: string) =>
  db.statement(
    `INSERT INTO peak (cook, channel, width, slot, part, at, t, celsius, quality, reason)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO ${conflict}`,
  );
