import { isInstant } from '../../shared/bounds.ts';
import { recordedEvent } from '../../shared/event.ts';
import { pizza as pizzaShape, type Pizza } from '../../shared/evening/pizza.ts';
import { probe as probeShape, type Probe } from '../../shared/probe.ts';
import { recordingHeader, type RecordingHeader } from '../../shared/recording.ts';
import { connect, type Connection, type RepairClock } from './database-connection.ts';
import { deviceVerbs } from './device-verbs.ts';
import { createLeftOut, type LeftOut } from './repair/left-out.ts';
import { lineVerbs } from './readings/line-verbs.ts';
import { photoVerbs } from './photo-verbs.ts';
import { createDownsampleIndex, type DownsampleIndex } from './readings/downsample-index.ts';
import { createQueue, type Queue } from './queue.ts';
import { row, rows } from './rows.ts';
import { pictureShape, settingShape } from './shapes.ts';
import { BATCH_MS, type CookPatch, type Store, type StoredCook, type StoredEvent } from './store.ts';

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
const COOK_COLUMN = {
  name: 'name',
  notes: 'notes',
  endedAt: 'ended_at',
  deletedAt: 'deleted_at',
  picture: 'picture',
} as const;
/** What a cook holds much of, with what tells its rows apart; rows that go together take a few ms. */
const COOK_TABLES = [
  ['photo', 'id'],
  ['peak', 'channel, width, slot, part'],
  ['reading', 'channel, at, seq'],
  ['mark', 'seq'],
  ['line', 'seq'],
] as const;
const PART_ROWS = 500;
/** What an unreadable header is taken to be, so that the cook's readings can be looked at and it can be deleted. */
const plainHeader = (startedAt: number): RecordingHeader => ({
  recording: 1,
  startedAt: new Date(startedAt).toISOString(),
  channels: [
    { id: 'stone', role: 'stone' },
    { id: 'dome', role: 'dome' },
  ],
  targets: {},
  probes: [],
});

function toCook(c: CookRow, leftOut: LeftOut): StoredCook {
  const header = leftOut.read('cook’s header', c.id, recordingHeader, c.header);
  const startedAt = isInstant(c.started_at) ? c.started_at : Date.parse(header?.startedAt ?? '1970-01-01');
  const picture = c.picture === null ? null : leftOut.read('picture', c.id, pictureShape, c.picture);
  const isUnreadable = header === null || startedAt !== c.started_at;
  return {
    id: c.id,
    name: isUnreadable ? `Cook ${c.id}, partly unreadable${c.name && `: ${c.name}`}` : c.name,
    notes: c.notes,
    startedAt,
    endedAt: c.ended_at === null || !isInstant(c.ended_at) ? (isUnreadable ? startedAt : null) : c.ended_at,
    deletedAt: c.deleted_at,
    rehearsal: c.rehearsal === 1,
    header: header ?? plainHeader(startedAt),
    picture,
  };
}
/**
 * The store on better-sqlite3.
 * @param repairClock given by who holds the folder: a damaged database is then quarantined and read back
 * @throws Fault `unusable` as `openDatabase` says.
 */
export function openStore(folder: string, repairClock: RepairClock = null): Store {
  const connection = connect(folder, repairClock);
  const queue = createQueue(connection, BATCH_MS);
  const index = createDownsampleIndex(connection, queue);
  const leftOut = createLeftOut();
  return {
    ...cookVerbs(connection, queue, index, leftOut),
    ...lineVerbs(connection, queue, index, leftOut),
    ...eventVerbs(connection, queue, leftOut),
    ...settingVerbs(connection, queue, leftOut),
    ...deviceVerbs(connection, queue),
    ...photoVerbs(connection, queue),
    persisted: queue.persisted,
    error: queue.error,
    dropped: connection.dropped,
    queued: queue.length,
    repairNote: () => connection.repairNote() ?? leftOut.message(),
    close() {
      queue.close();
      connection.close();
    },
  };
}

function cookVerbs(db: Connection, queue: Queue, index: DownsampleIndex, leftOut: LeftOut) {
  const insert = db.statement(
    'INSERT INTO cook (id, name, notes, started_at, deleted_at, rehearsal, header) VALUES (?, ?, ?, ?, ?, ?, ?)',
  );
  const greatest = db.statement('SELECT max(id) FROM cook', true);
  const byId = db.statement('SELECT * FROM cook WHERE id = ?');
  const all = db.statement('SELECT * FROM cook WHERE deleted_at IS NULL ORDER BY started_at DESC, id DESC');
  const deleted = db.statement('SELECT * FROM cook WHERE deleted_at IS NOT NULL ORDER BY id');
  const parts = COOK_TABLES.map(([table, key]) => ({
    some: db.statement(`SELECT 1 FROM ${table} WHERE cook = ? LIMIT 1`, true),
    remove: db.statement(
      `DELETE FROM ${table} WHERE cook = ? AND (${key}) IN (SELECT ${key} FROM ${table} WHERE cook = ? LIMIT ${PART_ROWS})`,
    ),
  }));
  const running = db.statement(
    'SELECT * FROM cook WHERE deleted_at IS NULL AND ended_at IS NULL AND rehearsal = 0 ORDER BY started_at DESC, id DESC LIMIT 1',
  );
  const remove = db.statement('DELETE FROM cook WHERE id = ?');
  const redate = db.statement(
    "UPDATE cook SET started_at = ?, header = json_set(header, '$.startedAt', ?) WHERE id = ?",
  );
  const redateReadings = ['reading', 'peak'].map((table) =>
    db.statement(`UPDATE ${table} SET at = at + ? WHERE cook = ?`),
  );
  const patch = Object.fromEntries(
    Object.values(COOK_COLUMN).map((column) => [
      column,
      db.statement(`UPDATE cook SET ${column} = ? WHERE id = ?`),
    ]),
  );
  let last = 0;
  return {
    startCook(cook: Parameters<Store['startCook']>[0]): number {
      const { name, notes = '', startedAt, deletedAt = null, rehearsal, header } = cook;
      // Numbered here and not by SQLite, so that a cook can start while the disk takes nothing.
      const id = Math.max(last, row<number>(greatest.get()) ?? 0) + 1;
      last = id;
      const head = JSON.stringify(header);
      queue.add(() => insert.run(id, name, notes, startedAt, deletedAt, rehearsal ? 1 : 0, head));
      queue.flush();
      return id;
    },
    patchCook(id: number, changes: CookPatch): void {
      for (const [key, value] of Object.entries(changes) as [keyof typeof COOK_COLUMN, unknown][]) {
        const column = typeof value === 'number' || value === null ? value : textOf(value);
        queue.add(() => patch[COOK_COLUMN[key]]?.run(column, id));
      }
    },
    redateCook(id: number, from: number, to: number): void {
      queue.add(() => {
        redate.run(to, new Date(to).toISOString(), id);
        for (const statement of redateReadings) statement.run(to - from, id);
      });
      index.forget(id);
    },
    removeCook(id: number): void {
      index.forget(id);
      queue.add(() => remove.run(id));
    },
    thinOutCook(id: number): boolean {
      const part = parts.find(({ some }) => row<number>(some.get(id)) !== null);
      if (!part) return false;
      index.forget(id);
      queue.add(() => part.remove.run(id, id));
      queue.flush();
      return true;
    },
    cook(id: number): StoredCook | null {
      queue.flush();
      const found = row<CookRow>(byId.get(id));
      return found && toCook(found, leftOut);
    },
    cooks(): StoredCook[] {
      queue.flush();
      return rows<CookRow>(all.all()).map((row) => toCook(row, leftOut));
    },
    deletedCooks(): StoredCook[] {
      queue.flush();
      return rows<CookRow>(deleted.all()).map((row) => toCook(row, leftOut));
    },
    runningCook(): StoredCook | null {
      const found = row<CookRow>(running.get());
      return found && toCook(found, leftOut);
    },
  };
}

const textOf = (value: unknown): string => (typeof value === 'string' ? value : JSON.stringify(value));

function eventVerbs(db: Connection, queue: Queue, leftOut: LeftOut) {
  const putEvent = db.statement(
    'INSERT OR REPLACE INTO event (cook, id, t, body, undone) VALUES (?, ?, ?, ?, ?)',
  );
  const events = db.statement(
    'SELECT id, t, body, undone FROM event WHERE cook = ? ORDER BY t, length(id), id',
  );
  const putPizza = db.statement('INSERT OR REPLACE INTO pizza (cook, id, body) VALUES (?, ?, ?)');
  const removePizza = db.statement('DELETE FROM pizza WHERE cook = ? AND id = ?');
  const pizzas = db.statement('SELECT id, body FROM pizza WHERE cook = ?');
  return {
    putEvent(cook: number, { id, t, event, undone }: StoredEvent): void {
      const body = JSON.stringify(event);
      queue.add(() => putEvent.run(cook, id, t, body, undone ? 1 : 0));
    },
    events(cook: number): StoredEvent[] {
      queue.flush();
      return rows<{ id: string; t: number; body: string; undone: number }>(events.all(cook)).flatMap((e) => {
        const event = leftOut.read('tap', `${cook} ${e.id}`, recordedEvent, e.body);
        return event === null ? [] : [{ id: e.id, t: e.t, event, undone: e.undone === 1 }];
      });
    },
    putPizza(cook: number, pizza: Pizza): void {
      const body = JSON.stringify(pizza);
      queue.add(() => putPizza.run(cook, pizza.id, body));
    },
    removePizza: (cook: number, id: string) => queue.add(() => removePizza.run(cook, id)),
    pizzas(cook: number): Pizza[] {
      queue.flush();
      return rows<{ id: string; body: string }>(pizzas.all(cook))
        .flatMap(({ id, body }) => leftOut.read('pizza', `${cook} ${id}`, pizzaShape, body) ?? [])
        .sort((a, b) => a.place - b.place);
    },
  };
}

/** Probes and settings are few and asked for often: they are held in memory, and written behind it. */
function settingVerbs(db: Connection, queue: Queue, leftOut: LeftOut) {
  const putProbe = db.statement('INSERT OR REPLACE INTO probe (id, body) VALUES (?, ?)');
  const removeProbe = db.statement('DELETE FROM probe WHERE id = ?');
  const putSetting = db.statement('INSERT OR REPLACE INTO setting (key, value) VALUES (?, ?)');
  const probes = new Map(
    rows<{ id: string; body: string }>(db.statement('SELECT id, body FROM probe').all()).flatMap(
      ({ id, body }): [string, Probe][] => {
        const probe = leftOut.read('probe', id, probeShape, body);
        return probe === null ? [] : [[id, probe]];
      },
    ),
  );
  const settings = new Map(
    rows<{ key: string; value: string }>(db.statement('SELECT key, value FROM setting').all()).flatMap(
      ({ key, value }): [string, unknown][] => {
        const read = leftOut.read('setting', key, settingShape(key), value);
        return read === null ? [] : [[key, read]];
      },
    ),
  );
  return {
    probes: (): Probe[] => [...probes.values()].sort((a, b) => (a.id < b.id ? -1 : 1)),
    putProbe(probe: Probe): void {
      const body = JSON.stringify(probe);
      probes.set(probe.id, probe);
      queue.add(() => putProbe.run(probe.id, body));
    },
    removeProbe(id: string): void {
      probes.delete(id);
      queue.add(() => removeProbe.run(id));
    },
    setting: (key: string): unknown => settings.get(key),
    putSetting(key: string, value: unknown): void {
      const text = JSON.stringify(value);
      settings.set(key, value);
      queue.add(() => putSetting.run(key, text));
    },
  };
}
