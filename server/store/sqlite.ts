import type { Pizza } from '../../shared/pizza.ts';
import type { Probe } from '../../shared/probe.ts';
import type { RecordingLine } from '../../shared/recording.ts';
import type { Quality } from '../../shared/words.ts';
import { openDatabase, type Db } from './database.ts';
import { createQueue, type Queue } from './queue.ts';
import {
  BATCH_MS,
  type CookPatch,
  type Mark,
  type ReadingQuery,
  type Store,
  type StoredCook,
  type StoredEvent,
  type StoredReading,
} from './store.ts';
import { thinRows } from './thin.ts';

type CookRow = {
  id: number;
  name: string;
  notes: string;
  started_at: number;
  ended_at: number | null;
  deleted_at: number | null;
  rehearsal: number;
  header: string;
  picture: string | null;
};
type ReadingRow = {
  channel: string;
  at: number;
  t: number;
  celsius: number | null;
  quality: Quality;
  reason: string | null;
};

const COOK_COLUMN = {
  name: 'name',
  notes: 'notes',
  endedAt: 'ended_at',
  deletedAt: 'deleted_at',
  picture: 'picture',
} as const;
/** Rows of one of our own tables have the shape we wrote; this is the boundary where that is said once. */
const rows = <T>(found: unknown): T[] => found as T[];
const row = <T>(found: unknown): T | null => (found as T | undefined) ?? null;
const parsed = <T>(text: string): T => JSON.parse(text) as T;

const toCook = (c: CookRow): StoredCook => ({
  id: c.id,
  name: c.name,
  notes: c.notes,
  startedAt: c.started_at,
  endedAt: c.ended_at,
  deletedAt: c.deleted_at,
  rehearsal: c.rehearsal === 1,
  header: parsed(c.header),
  picture: c.picture === null ? null : parsed(c.picture),
});
const toReading = ({ reason, ...rest }: ReadingRow): StoredReading =>
  reason === null ? rest : { ...rest, reason };

/** The store on better-sqlite3. @throws Fault `unusable` as `openDatabase` says. */
export function openStore(folder: string): Store {
  const db = openDatabase(folder);
  const transact = db.transaction((writes: readonly (() => void)[]) => {
    for (const write of writes) write();
  });
  const queue = createQueue((writes) => transact.immediate(writes), BATCH_MS);
  return {
    ...cookVerbs(db, queue),
    ...lineVerbs(db, queue),
    ...eventVerbs(db, queue),
    ...settingVerbs(db, queue),
    kept: queue.kept,
    trouble: queue.trouble,
    close() {
      queue.close();
      db.close();
    },
  };
}

function cookVerbs(db: Db, queue: Queue) {
  const insert = db.prepare(
    'INSERT INTO cook (name, notes, started_at, rehearsal, header) VALUES (?, ?, ?, ?, ?)',
  );
  const one = db.prepare('SELECT * FROM cook WHERE id = ?');
  const all = db.prepare('SELECT * FROM cook WHERE deleted_at IS NULL ORDER BY started_at DESC, id DESC');
  const running = db.prepare(
    'SELECT * FROM cook WHERE deleted_at IS NULL AND ended_at IS NULL AND rehearsal = 0 ORDER BY started_at DESC, id DESC LIMIT 1',
  );
  const remove = db.prepare('DELETE FROM cook WHERE id = ?');
  return {
    startCook(cook: Parameters<Store['startCook']>[0]): number {
      queue.flush();
      const { lastInsertRowid } = insert.run(
        cook.name,
        cook.notes ?? '',
        cook.startedAt,
        cook.rehearsal ? 1 : 0,
        JSON.stringify(cook.header),
      );
      return Number(lastInsertRowid);
    },
    patchCook(id: number, patch: CookPatch): void {
      for (const [key, value] of Object.entries(patch) as [keyof typeof COOK_COLUMN, unknown][]) {
        const update = db.prepare(`UPDATE cook SET ${COOK_COLUMN[key]} = ? WHERE id = ?`);
        const kept = value !== null && typeof value === 'object' ? JSON.stringify(value) : value;
        queue.add(() => update.run(kept, id));
      }
    },
    removeCook: (id: number) => queue.add(() => remove.run(id)),
    cook(id: number): StoredCook | null {
      queue.flush();
      const found = row<CookRow>(one.get(id));
      return found && toCook(found);
    },
    cooks(): StoredCook[] {
      queue.flush();
      return rows<CookRow>(all.all()).map(toCook);
    },
    runningCook(): StoredCook | null {
      const found = row<CookRow>(running.get());
      return found && toCook(found);
    },
  };
}

/** Next `seq` of a cook in a table, counted in memory after the first look. */
function counter(db: Db, table: 'line' | 'reading' | 'mark'): (cook: number) => number {
  const last = db.prepare(`SELECT max(seq) AS seq FROM ${table} WHERE cook = ?`);
  const next = new Map<number, number>();
  return (cook) => {
    const seq = next.get(cook) ?? (row<{ seq: number | null }>(last.get(cook))?.seq ?? -1) + 1;
    next.set(cook, seq + 1);
    return seq;
  };
}

function lineVerbs(db: Db, queue: Queue) {
  const insertLine = db.prepare('INSERT INTO line (cook, seq, t, body) VALUES (?, ?, ?, ?)');
  const insertMark = db.prepare('INSERT INTO mark (cook, seq, t, kind, body) VALUES (?, ?, ?, ?, ?)');
  const insertReading = db.prepare(
    'INSERT INTO reading (cook, channel, at, seq, t, celsius, quality, reason) VALUES (?, ?, ?, ?, ?, ?, ?, ?)',
  );
  const lines = db.prepare('SELECT body FROM line WHERE cook = ? ORDER BY seq').pluck();
  const marks = db.prepare('SELECT body FROM mark WHERE cook = ? ORDER BY seq').pluck();
  const readings = db.prepare(
    `SELECT channel, at, t, celsius, quality, reason FROM reading
     WHERE cook = @cook AND (@channel IS NULL OR channel = @channel) AND at BETWEEN @from AND @to ORDER BY at, seq`,
  );
  const lineSeq = counter(db, 'line');
  const markSeq = counter(db, 'mark');
  const readingSeq = counter(db, 'reading');
  const find = (cook: number, query: ReadingQuery): StoredReading[] => {
    queue.flush();
    const { channel = null, from = Number.MIN_SAFE_INTEGER, to = Number.MAX_SAFE_INTEGER } = query;
    return rows<ReadingRow>(readings.all({ cook, channel, from, to })).map(toReading);
  };
  return {
    addLine(cook: number, line: RecordingLine): void {
      const seq = lineSeq(cook);
      const body = JSON.stringify(line);
      queue.add(() => insertLine.run(cook, seq, line.t, body));
    },
    addReading(cook: number, r: StoredReading): void {
      const seq = readingSeq(cook);
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
      for (const body of lines.iterate(cook)) yield parsed<RecordingLine>(body as string); // column of TEXT
    },
    readings: find,
    thinned: (cook: number, query: ReadingQuery, points: number) => thinRows(find(cook, query), points),
    marks(cook: number): Mark[] {
      queue.flush();
      return rows<string>(marks.all(cook)).map((body) => parsed<Mark>(body));
    },
  };
}

function eventVerbs(db: Db, queue: Queue) {
  const putEvent = db.prepare(
    'INSERT OR REPLACE INTO event (cook, id, t, body, undone) VALUES (?, ?, ?, ?, ?)',
  );
  const events = db.prepare('SELECT id, t, body, undone FROM event WHERE cook = ? ORDER BY t, id');
  const putPizza = db.prepare('INSERT OR REPLACE INTO pizza (cook, id, body) VALUES (?, ?, ?)');
  const removePizza = db.prepare('DELETE FROM pizza WHERE cook = ? AND id = ?');
  const pizzas = db.prepare('SELECT body FROM pizza WHERE cook = ?').pluck();
  return {
    putEvent: (cook: number, e: StoredEvent) =>
      queue.add(() => putEvent.run(cook, e.id, e.t, JSON.stringify(e.event), e.undone ? 1 : 0)),
    events(cook: number): StoredEvent[] {
      queue.flush();
      return rows<{ id: string; t: number; body: string; undone: number }>(events.all(cook)).map((e) => ({
        id: e.id,
        t: e.t,
        event: parsed<StoredEvent['event']>(e.body),
        undone: e.undone === 1,
      }));
    },
    putPizza(cook: number, pizza: Pizza): void {
      const body = JSON.stringify(pizza);
      queue.add(() => putPizza.run(cook, pizza.id, body));
    },
    removePizza: (cook: number, id: string) => queue.add(() => removePizza.run(cook, id)),
    pizzas(cook: number): Pizza[] {
      queue.flush();
      return rows<string>(pizzas.all(cook))
        .map((body) => parsed<Pizza>(body))
        .sort((a, b) => a.place - b.place);
    },
  };
}

function settingVerbs(db: Db, queue: Queue) {
  const probes = db.prepare('SELECT body FROM probe ORDER BY id').pluck();
  const putProbe = db.prepare('INSERT OR REPLACE INTO probe (id, body) VALUES (?, ?)');
  const removeProbe = db.prepare('DELETE FROM probe WHERE id = ?');
  const setting = db.prepare('SELECT value FROM setting WHERE key = ?').pluck();
  const putSetting = db.prepare('INSERT OR REPLACE INTO setting (key, value) VALUES (?, ?)');
  return {
    probes(): Probe[] {
      queue.flush();
      return rows<string>(probes.all()).map((body) => parsed<Probe>(body));
    },
    putProbe: (probe: Probe) => queue.add(() => putProbe.run(probe.id, JSON.stringify(probe))),
    removeProbe: (id: string) => queue.add(() => removeProbe.run(id)),
    setting(key: string): unknown {
      queue.flush();
      const value = row<string>(setting.get(key));
      return value === null ? undefined : parsed(value);
    },
    putSetting(key: string, value: unknown): void {
      queue.add(() => putSetting.run(key, JSON.stringify(value)));
    },
  };
}
