import { LAST_INSTANT } from '../../../shared/bounds.ts';
import type { RecordingLine } from '../../../shared/recording.ts';
import type { Connection } from '../database-connection.ts';
import type { LeftOut } from '../repair/left-out.ts';
import type { DownsampleIndex } from './downsample-index.ts';
import type { Queue } from '../queue.ts';
import { row, rows, toReading, type ReadingRow } from '../rows.ts';
import { lineShape, markShape } from '../shapes.ts';
import type { EngineRecord, ReadingQuery, Store, StoredReading } from '../store.ts';

/** Lines read at a time. */
const PAGE_LINES = 2000;

/** What a damaged row says of another age is left out: it has no valid date. */
const rangeOf = ({ from = 0, to = LAST_INSTANT }: ReadingQuery): [number, number] => [
  Math.max(0, from),
  Math.min(LAST_INSTANT, to),
];

/** Next `seq` of a cook in a table, counted in memory after the first look. */
function counter(db: Connection, table: 'line' | 'reading' | 'mark'): (cook: number) => number {
  const last = db.statement(`SELECT max(seq) FROM ${table} WHERE cook = ?`, true);
  const next = new Map<number, number>();
  return (cook) => {
    const seq = next.get(cook) ?? (row<number>(last.get(cook)) ?? -1) + 1;
    next.set(cook, seq + 1);
    return seq;
  };
}

type LineVerbs = Pick<
  Store,
  | 'addLine'
  | 'addReading'
  | 'removeReading'
  | 'addRecord'
  | 'lines'
  | 'lineCount'
  | 'readings'
  | 'eachReading'
  | 'downsampled'
  | 'records'
>;

export function lineVerbs(db: Connection, queue: Queue, index: DownsampleIndex, leftOut: LeftOut): LineVerbs {
  const insertLine = db.statement('INSERT INTO line (cook, seq, t, body) VALUES (?, ?, ?, ?)');
  const insertRecord = db.statement('INSERT INTO mark (cook, seq, t, kind, body) VALUES (?, ?, ?, ?, ?)');
  const insertReading = db.statement(
    'INSERT INTO reading (cook, channel, at, seq, t, celsius, quality, reason) VALUES (?, ?, ?, ?, ?, ?, ?, ?)',
  );
  const removeReading = db.statement(
    'DELETE FROM reading WHERE cook = ? AND channel = ? AND at = ? AND t = ?',
  );
  const lines = db.statement(
    `SELECT seq, body FROM line WHERE cook = ? AND seq > ? ORDER BY seq LIMIT ${PAGE_LINES}`,
  );
  const nextChannel = db.statement('SELECT min(channel) FROM reading WHERE cook = ? AND channel > ?', true);
  const page = db.statement(
    `SELECT channel, at, seq, t, celsius, quality, reason FROM reading
     WHERE cook = ? AND channel = ? AND (at, seq) > (?, ?) AND at <= ? ORDER BY at, seq LIMIT ${PAGE_LINES}`,
  );
  type PageRow = ReadingRow & { seq: number };
  function* ofChannel(cook: number, channel: string, from: number, to: number): Generator<PageRow> {
    for (let [at, seq] = [from - 1, Number.MAX_SAFE_INTEGER]; ;) {
      const found = rows<PageRow>(page.all(cook, channel, at, seq, to));
      yield* found;
      const last = found.at(-1);
      if (!last || found.length < PAGE_LINES) return;
      [at, seq] = [last.at, last.seq];
    }
  }
  function channelsOf(cook: number): string[] {
    const channels: string[] = [];
    for (let next = row<string>(nextChannel.get(cook, '')); next !== null;) {
      channels.push(next);
      next = row<string>(nextChannel.get(cook, next));
    }
    return channels;
  }
  const count = db.statement('SELECT count(*) FROM line WHERE cook = ?', true);
  const records = db.statement('SELECT seq, body FROM mark WHERE cook = ? ORDER BY seq');
  const ofAll = db.statement(
    `SELECT channel, at, t, celsius, quality, reason FROM reading
     WHERE cook = ? AND at BETWEEN ? AND ? ORDER BY at, seq`,
  );
  const ofOne = db.statement(
    `SELECT channel, at, t, celsius, quality, reason FROM reading
     WHERE cook = ? AND channel = ? AND at BETWEEN ? AND ? ORDER BY at, seq`,
  );
  const lineSeq = counter(db, 'line');
  const markSeq = counter(db, 'mark');
  const readingSeq = counter(db, 'reading');
  return {
    addLine(cook: number, line: RecordingLine): void {
      const seq = lineSeq(cook);
      const body = JSON.stringify(line);
      queue.add(() => insertLine.run(cook, seq, line.t, body));
    },
    addReading(cook: number, r: StoredReading): void {
      const seq = readingSeq(cook);
      index.add(cook, r);
      queue.add(() =>
        insertReading.run(cook, r.channel, r.at, seq, r.t, r.celsius, r.quality, r.reason ?? null),
      );
    },
    removeReading(cook, reading): void {
      queue.add(() => removeReading.run(cook, reading.channel, reading.at, reading.t));
      index.remade(cook, reading);
    },
    addRecord(cook: number, record: EngineRecord): void {
      const seq = markSeq(cook);
      const body = JSON.stringify(record);
      queue.add(() => insertRecord.run(cook, seq, record.t, record.type, body));
    },
    *lines(cook: number): IterableIterator<RecordingLine> {
      queue.flush();
      // Page by page, so that no read stays open while the caller works or the database is repaired.
      for (let after = -1; ;) {
        const page = rows<{ seq: number; body: string }>(lines.all(cook, after));
        for (const { seq, body } of page) {
          const line = leftOut.read('line', `${cook} ${seq}`, lineShape, body);
          if (line !== null) yield line;
        }
        if (page.length < PAGE_LINES) return;
        after = page.at(-1)?.seq ?? after;
      }
    },
    lineCount(cook: number): number {
      queue.flush();
      return row<number>(count.get(cook)) ?? 0;
    },
    readings(cook: number, query: ReadingQuery): StoredReading[] {
      queue.flush();
      const { channel } = query;
      const [from, to] = rangeOf(query);
      const found = channel === undefined ? ofAll.all(cook, from, to) : ofOne.all(cook, channel, from, to);
      return rows<ReadingRow>(found).map(toReading);
    },
    *eachReading(cook: number, query: ReadingQuery): IterableIterator<StoredReading> {
      queue.flush();
      const [from, to] = rangeOf(query);
      const channels = query.channel === undefined ? channelsOf(cook) : [query.channel];
      const heads = channels.flatMap((channel) => {
        const source = ofChannel(cook, channel, from, to);
        const first = source.next();
        return first.done ? [] : [{ source, next: first.value }];
      });
      // Of all channels the earliest next, in the order in which it came.
      while (heads.length > 0) {
        let place = 0;
        heads.forEach(({ next }, i) => {
          const best = heads[place]?.next;
          if (best && (next.at < best.at || (next.at === best.at && next.seq < best.seq))) place = i;
        });
        const head = heads[place];
        if (!head) return;
        yield toReading(head.next);
        const after = head.source.next();
        if (after.done) heads.splice(place, 1);
        else head.next = after.value;
      }
    },
    downsampled: index.downsampled,
    records(cook: number): EngineRecord[] {
      queue.flush();
      return rows<{ seq: number; body: string }>(records.all(cook)).flatMap(
        ({ seq, body }) => leftOut.read('mark', `${cook} ${seq}`, markShape, body) ?? [],
      );
    },
  };
}
