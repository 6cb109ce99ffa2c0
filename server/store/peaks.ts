import type { Connection } from './connection.ts';
import type { Queue } from './queue.ts';
import { row, rows, toReading, type ReadingRow } from './rows.ts';
import type { ReadingQuery, StoredReading } from './store.ts';
import { thinChannel } from './thin.ts';

/**
 * Widths of the slots, s, in ascending order: a view of 600 buckets is drawn from them once it is longer than 5 hours.
 * Each further one would make every commit write a page or two more.
 */
const WIDTHS = [30] as const;

/** What stands out in one slot of a channel. */
type Slot = {
  slot: number;
  low: StoredReading | null;
  high: StoredReading | null;
  silent: StoredReading | null;
};
type Open = { width: number; open: Slot | null };

export type Peaks = {
  /** To be told of each reading as it is added. */
  take(cook: number, reading: StoredReading): void;
  /** The cook's readings were removed, or dated anew. */
  forget(cook: number): void;
  thinned(cook: number, query: ReadingQuery, points: number): StoredReading[];
};

const COLUMNS = 'channel, at, t, celsius, quality, reason';
const TAKE = `UPDATE SET (at, t, celsius, quality, reason) =
  (excluded.at, excluded.t, excluded.celsius, excluded.quality, excluded.reason)`;
const FIRST = Number.MIN_SAFE_INTEGER;
const LAST = Number.MAX_SAFE_INTEGER;

/**
 * Keeps the peaks of a channel's slots, written when the next slot begins, and draws from them. A slot of a crash is
 * made good from the readings when the channel is next heard or drawn.
 */
export function createPeaks(db: Connection, queue: Queue): Peaks {
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
  /** Of a channel's buckets of so many slots, counted from a slot, the peaks: SQLite takes the row that has them along. */
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
      `SELECT ${COLUMNS} FROM reading WHERE cook = ? AND channel = ? AND at BETWEEN ? AND ? ORDER BY at ${order} LIMIT 1`,
    );
  const first = end('ASC');
  const last = end('DESC');
  const nextChannel = db.statement('SELECT min(channel) FROM reading WHERE cook = ? AND channel > ?', true);
  const cooks = new Map<number, Map<string, Open[]>>();
  let mended = db.mended();

  function write(cook: number, width: number, { slot, low, high, silent }: Slot): void {
    [low, high, silent].forEach((r, part) => {
      if (r === null) return;
      const { channel, at, t, celsius, quality, reason = null } = r;
      queue.add(() => put[part]?.run(cook, channel, width, slot, part, at, t, celsius, quality, reason));
    });
  }
  function add(cook: number, one: Open, reading: StoredReading): void {
    const slot = Math.floor(reading.t / one.width);
    if (one.open && slot < one.open.slot) return write(cook, one.width, taking(empty(slot), reading));
    if (one.open && slot > one.open.slot) write(cook, one.width, one.open);
    one.open = taking(one.open?.slot === slot ? one.open : empty(slot), reading);
  }
  /** What this process has not seen of a channel is gone through once. */
  function known(cook: number, channel: string): Open[] {
    // A mended database has the readings alone.
    if (db.mended() !== mended) cooks.clear();
    mended = db.mended();
    let channels = cooks.get(cook);
    if (!channels) cooks.set(cook, (channels = new Map()));
    let found = channels.get(channel);
    if (found) return found;
    queue.flush();
    found = WIDTHS.map((width) => ({ width, open: null }));
    channels.set(channel, found);
    const reached = WIDTHS.map((width) => row<number>(lastAt.get(cook, channel, width)) ?? FIRST);
    for (const r of rows<ReadingRow>(between.all(cook, channel, Math.min(...reached), LAST)).map(toReading))
      found.forEach((one, i) => {
        if (r.at >= (reached[i] ?? FIRST)) add(cook, one, r);
      });
    return found;
  }
  function* channelsOf(cook: number): Generator<string> {
    for (let channel = ''; ;) {
      const next = row<string>(nextChannel.get(cook, channel));
      if (next === null) return;
      yield (channel = next);
    }
  }
  function drawn(cook: number, channel: string, from: number, to: number, points: number): ReadingRow[] {
    const [head, tail] = [first, last].map((one) => row<ReadingRow>(one.get(cook, channel, from, to)));
    if (!head || !tail) return [];
    const whole = (a: number, b: number): ReadingRow[] => rows<ReadingRow>(between.all(cook, channel, a, b));
    // One bucket less than asked for, since the first and the last are seldom whole.
    const wanted = (tail.t - head.t) / Math.max(1, Math.floor(points / 2) - 1);
    const width = WIDTHS.findLast((one) => one <= wanted);
    if (width === undefined) return thinChannel(whole(from, to), points);
    const [begin, finish] = [Math.floor(head.t / width) + 1, Math.floor(tail.t / width) - 1];
    if (begin > finish) return thinChannel(whole(from, to), points);
    known(cook, channel);
    queue.flush();
    // `at` is the cook's start and `t`, rounded to the millisecond: where the whole slots begin and end.
    const edge = (slot: number): number => Math.round(head.at + (slot * width - head.t) * 1000);
    const slotOf = ({ t }: ReadingRow): number => Math.floor(t / width);
    const many = Math.ceil(wanted / width);
    const inner = [cook, channel, width, begin, finish, Math.floor(begin / many) * many, many] as const;
    const all = [
      ...whole(from, edge(begin)).filter((r) => slotOf(r) < begin),
      ...rows<ReadingRow>(slots.all(...inner, ...inner, ...inner)),
      ...whole(edge(finish + 1) - 1, to).filter((r) => slotOf(r) > finish),
    ];
    return thinChannel(all, points, many * width);
  }
  return {
    take: (cook, reading) => known(cook, reading.channel).forEach((one) => add(cook, one, reading)),
    forget: (cook) => void cooks.delete(cook),
    thinned(cook, query, points) {
      queue.flush();
      const { channel, from = FIRST, to = LAST } = query;
      const channels = channel === undefined ? [...channelsOf(cook)] : [channel];
      const kept = channels.flatMap((one) => drawn(cook, one, from, to, points));
      return kept.sort((a, b) => a.t - b.t).map(toReading);
    },
  };
}

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
