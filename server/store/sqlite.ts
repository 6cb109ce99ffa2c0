import type { Pizza } from '../../shared/pizza.ts';
import type { Probe } from '../../shared/probe.ts';
import { connect, type Connection, type Mending } from './connection.ts';
import { deviceVerbs } from './devices.ts';
import { lineVerbs } from './lines.ts';
import { createPeaks, type Peaks } from './peaks.ts';
import { createQueue, type Queue } from './queue.ts';
import { parsed, row, rows } from './rows.ts';
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
/**
 * The store on better-sqlite3.
 * @param mending given by who holds the folder: a damaged database is then set aside and read back
 * @throws Fault `unusable` as `openDatabase` says.
 */
export function openStore(folder: string, mending: Mending = null): Store {
  const connection = connect(folder, mending);
  const queue = createQueue(connection, BATCH_MS);
  const peaks = createPeaks(connection, queue);
  return {
    ...cookVerbs(connection, queue, peaks),
    ...lineVerbs(connection, queue, peaks),
    ...eventVerbs(connection, queue),
    ...settingVerbs(connection, queue),
    ...deviceVerbs(connection, queue),
    kept: queue.kept,
    trouble: queue.trouble,
    mended: connection.mended,
    close() {
      queue.close();
      connection.close();
    },
  };
}

function cookVerbs(db: Connection, queue: Queue, peaks: Peaks) {
  const insert = db.statement(
    'INSERT INTO cook (id, name, notes, started_at, rehearsal, header) VALUES (?, ?, ?, ?, ?, ?)',
  );
  const greatest = db.statement('SELECT max(id) FROM cook', true);
  const one = db.statement('SELECT * FROM cook WHERE id = ?');
  const all = db.statement('SELECT * FROM cook WHERE deleted_at IS NULL ORDER BY started_at DESC, id DESC');
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
    startCook({ name, notes = '', startedAt, rehearsal, header }: Parameters<Store['startCook']>[0]): number {
      // Numbered here and not by SQLite, so that a cook can start while the disk takes nothing.
      const id = Math.max(last, row<number>(greatest.get()) ?? 0) + 1;
      last = id;
      const head = JSON.stringify(header);
      queue.add(() => insert.run(id, name, notes, startedAt, rehearsal ? 1 : 0, head));
      queue.flush();
      return id;
    },
    patchCook(id: number, changes: CookPatch): void {
      for (const [key, value] of Object.entries(changes) as [keyof typeof COOK_COLUMN, unknown][]) {
        const kept = typeof value === 'number' || value === null ? value : textOf(value);
        queue.add(() => patch[COOK_COLUMN[key]]?.run(kept, id));
      }
    },
    redateCook(id: number, from: number, to: number): void {
      queue.add(() => {
        redate.run(to, new Date(to).toISOString(), id);
        for (const one of redateReadings) one.run(to - from, id);
      });
      peaks.forget(id);
    },
    removeCook(id: number): void {
      peaks.forget(id);
      queue.add(() => remove.run(id));
    },
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

const textOf = (value: unknown): string => (typeof value === 'string' ? value : JSON.stringify(value));

function eventVerbs(db: Connection, queue: Queue) {
  const putEvent = db.statement(
    'INSERT OR REPLACE INTO event (cook, id, t, body, undone) VALUES (?, ?, ?, ?, ?)',
  );
  const events = db.statement('SELECT id, t, body, undone FROM event WHERE cook = ? ORDER BY t, id');
  const putPizza = db.statement('INSERT OR REPLACE INTO pizza (cook, id, body) VALUES (?, ?, ?)');
  const removePizza = db.statement('DELETE FROM pizza WHERE cook = ? AND id = ?');
  const pizzas = db.statement('SELECT body FROM pizza WHERE cook = ?', true);
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

/** Probes and settings are few and asked for often: they are held in memory, and written behind it. */
function settingVerbs(db: Connection, queue: Queue) {
  const putProbe = db.statement('INSERT OR REPLACE INTO probe (id, body) VALUES (?, ?)');
  const removeProbe = db.statement('DELETE FROM probe WHERE id = ?');
  const putSetting = db.statement('INSERT OR REPLACE INTO setting (key, value) VALUES (?, ?)');
  const probes = new Map(
    rows<{ id: string; body: string }>(db.statement('SELECT id, body FROM probe').all()).map(
      ({ id, body }) => [id, parsed<Probe>(body)],
    ),
  );
  const settings = new Map(
    rows<{ key: string; value: string }>(db.statement('SELECT key, value FROM setting').all()).map(
      ({ key, value }) => [key, parsed<unknown>(value)],
    ),
  );
  return {
    probes: (): Probe[] => [...probes.values()].sort((a, b) => (a.id < b.id ? -1 : 1)),
    putProbe(probe: Probe): void {
      probes.set(probe.id, probe);
      queue.add(() => putProbe.run(probe.id, JSON.stringify(probe)));
    },
    removeProbe(id: string): void {
      probes.delete(id);
      queue.add(() => removeProbe.run(id));
    },
    setting: (key: string): unknown => settings.get(key),
    putSetting(key: string, value: unknown): void {
      settings.set(key, value);
      const text = JSON.stringify(value);
      queue.add(() => putSetting.run(key, text));
    },
  };
}
