import type { RecordingLine } from '../../shared/recording.ts';
import type { Connection } from './connection.ts';
import type { Peaks } from './peaks.ts';
import type { Queue } from './queue.ts';
import { parsed, row, rows, toReading, type ReadingRow } from './rows.ts';
import type { Mark, ReadingQuery, Store, StoredReading } from './store.ts';

/** Lines read at a time. */
const PAGE = 2000;

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
  'addLine' | 'addReading' | 'addMark' | 'lines' | 'lineCount' | 'readings' | 'thinned' | 'marks'
>;

export function lineVerbs(db: Connection, queue: Queue, peaks: Peaks): LineVerbs {
  const insertLine = db.statement('INSERT INTO line (cook, seq, t, body) VALUES (?, ?, ?, ?)');
  const insertMark = db.statement('INSERT INTO mark (cook, seq, t, kind, body) VALUES (?, ?, ?, ?, ?)');
  const insertReading = db.statement(
    'INSERT INTO reading (cook, channel, at, seq, t, celsius, quality, reason) VALUES (?, ?, ?, ?, ?, ?, ?, ?)',
  );
  const lines = db.statement(
    `SELECT seq, body FROM line WHERE cook = ? AND seq > ? ORDER BY seq LIMIT ${PAGE}`,
  );
  const count = db.statement('SELECT count(*) FROM line WHERE cook = ?', true);
  const marks = db.statement('SELECT body FROM mark WHERE cook = ? ORDER BY seq', true);
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
      peaks.take(cook, r);
      queue.add(() =>
        insertReading.run(cook, r.channel, r.at, seq, r.t, r.celsius, r.quality, r.reason ?? null),
      );
    },
    addMark(cook: number, mark: Mark): void {
      const seq = markSeq(cook);
      const body = JSON.stringify(mark);
      queue.add(() => insertMark.run(cook, seq, mark.t, mark.type, body));
    },
    *lines(cook: number): IterableIterator<RecordingLine> {
      queue.flush();
      // Page by page, so that no read stays open while the caller works or the database is mended.
      for (let after = -1; ;) {
        const page = rows<{ seq: number; body: string }>(lines.all(cook, after));
        for (const { body } of page) yield parsed<RecordingLine>(body);
        if (page.length < PAGE) return;
        after = page.at(-1)?.seq ?? after;
      }
    },
    lineCount(cook: number): number {
      queue.flush();
      return row<number>(count.get(cook)) ?? 0;
    },
    readings(cook: number, query: ReadingQuery): StoredReading[] {
      queue.flush();
      const { channel, from = Number.MIN_SAFE_INTEGER, to = Number.MAX_SAFE_INTEGER } = query;
      const found = channel === undefined ? ofAll.all(cook, from, to) : ofOne.all(cook, channel, from, to);
      return rows<ReadingRow>(found).map(toReading);
    },
    thinned: peaks.thinned,
    marks(cook: number): Mark[] {
      queue.flush();
      return rows<string>(marks.all(cook)).map((body) => parsed<Mark>(body));
    },
  };
}
