import { MAX_COUNTED, type Db } from '../database.ts';

/** What came out of a damaged database. */
export type Salvaged = { rows: number; unreadable: number };

type Row = Record<string, unknown>;
/** Rows of one table under one owner, in the order of a number that can be stepped past damage. */
type Group = { table: string; where: string; owner: readonly unknown[]; step: string };

const SMALL_TABLES = ['setting', 'probe', 'device', 'cook', 'event', 'pizza', 'photo'] as const;
/** Columns that hold JSON: a row where one of them is not is damaged too. */
const JSON_COLUMNS = ['body', 'value', 'header'];
/** No step number is larger: ms since the epoch until the year 4000, and counts of lines are far less. */
const MAX_STEP_NUMBER = 2 ** 46;

/**
 * Copies what can be read, row by row, table by table. A damaged page ends a scan with an error; the scan then leaps
 * ahead in doubling steps until it reads again, and goes backwards from there to the damage.
 * @param to empty, with our schema; what is in it already stays
 */
export function salvage(from: Db, to: Db): Salvaged {
  const done: Salvaged = { rows: 0, unreadable: 0 };
  to.pragma('foreign_keys = OFF');
  to.transaction(() => {
    for (const table of SMALL_TABLES) copySmall(from, copier(from, to, table, done), table);
    for (const group of groups(from, to)) copyGroup(from, copier(from, to, group.table, done), group);
    adoptOrphans(to);
  })();
  to.pragma('foreign_keys = ON');
  return done;
}

/** @returns puts one row into the table, or counts it as unreadable */
function copier(from: Db, to: Db, table: string, done: Salvaged): (row: Row) => void {
  const had = new Set(columnsOf(from, table));
  const columns = columnsOf(to, table).filter((column) => had.has(column));
  // An older database knows nothing of newer tables.
  if (columns.length === 0) return () => {};
  const put = to.prepare(
    `INSERT OR IGNORE INTO ${table} (${columns.join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`,
  );
  const counts = table === 'cook' ? ['id'] : ['cook', 'seq'];
  return (row) => {
    try {
      for (const column of JSON_COLUMNS) if (column in row) JSON.parse(String(row[column]));
      for (const column of counts) if (column in row) needCounted(row[column]);
      done.rows += put.run(columns.map((column) => row[column])).changes;
    } catch {
      done.unreadable += 1;
    }
  };
}

/** @throws RangeError where no other number can follow it */
function needCounted(value: unknown): void {
  if (typeof value === 'number' && value >= 0 && value <= MAX_COUNTED) return;
  throw new RangeError(`${String(value)} counts nothing`);
}

const columnsOf = (db: Db, table: string): string[] =>
  (db.pragma(`table_info(${table})`) as { name: string }[]).map(({ name }) => name); // as SQLite documents it

/** Runs a query as far as it goes. @returns whether it came to its end */
function asFarAsItGoes(db: Db, sql: string, values: readonly unknown[], take: (row: Row) => void): boolean {
  try {
    for (const row of db.prepare(sql).iterate(...values)) take(row as Row); // rows are objects of columns
    return true;
  } catch {
    return false;
  }
}

function copySmall(from: Db, put: (row: Row) => void, table: string): void {
  if (asFarAsItGoes(from, `SELECT * FROM ${table}`, [], put)) return;
  const key = (from.pragma(`table_info(${table})`) as { name: string; pk: number }[]) // as SQLite documents it
    .filter(({ pk }) => pk > 0)
    .map(({ name }) => `${name} DESC`);
  asFarAsItGoes(from, `SELECT * FROM ${table} ORDER BY ${key.join(', ')}`, [], put);
}

/** Cooks that are known by their row or by what was measured in them, and their channels. */
function groups(from: Db, to: Db): Group[] {
  const cooks = new Set(to.prepare('SELECT id FROM cook').pluck().all());
  for (const table of ['line', 'reading'])
    asFarAsItGoes(from, `SELECT DISTINCT cook FROM ${table}`, [], (row) => cooks.add(row['cook']));
  return [...cooks].flatMap((cook) => [
    { table: 'line', where: 'cook = ?', owner: [cook], step: 'seq' },
    { table: 'mark', where: 'cook = ?', owner: [cook], step: 'seq' },
    ...channelsOf(from, to, cook).map((channel) => ({
      table: 'reading',
      where: 'cook = ? AND channel = ?',
      owner: [cook, channel],
      step: 'at',
    })),
  ]);
}

function channelsOf(from: Db, to: Db, cook: unknown): unknown[] {
  const named = to
    .prepare(`SELECT value ->> 'id' FROM cook, json_each(header, '$.channels') WHERE cook.id = ?`)
    .pluck()
    .all(cook);
  const channels = new Set(named);
  asFarAsItGoes(from, 'SELECT DISTINCT channel FROM reading WHERE cook = ?', [cook], (row) =>
    channels.add(row['channel']),
  );
  return [...channels];
}

function copyGroup(from: Db, put: (row: Row) => void, { table, where, owner, step }: Group): void {
  const sql = (order: string): string => `SELECT * FROM ${table} WHERE ${where} AND ${order}`;
  let reached = -MAX_STEP_NUMBER;
  const forward = (row: Row): void => {
    reached = Math.max(reached, Number(row[step]));
    put(row);
  };
  while (!asFarAsItGoes(from, sql(`${step} > ? ORDER BY ${step}`), [...owner, reached], forward)) {
    const next = beyond(from, sql(`${step} > ? ORDER BY ${step} LIMIT 1`), owner, reached, step);
    if (next === null) break;
    asFarAsItGoes(
      from,
      sql(`${step} < ? AND ${step} > ? ORDER BY ${step} DESC`),
      [...owner, next, reached],
      put,
    );
    reached = next - 1;
  }
  // What lies behind damage at the end is found from the end.
  asFarAsItGoes(from, sql(`${step} > ? ORDER BY ${step} DESC`), [...owner, reached], put);
}

/** The first step number found readable behind the damage that follows `reached`, or null. */
function beyond(
  from: Db,
  sql: string,
  owner: readonly unknown[],
  reached: number,
  step: string,
): number | null {
  const start = Math.max(reached, -1);
  for (let leap = 1; start + leap < MAX_STEP_NUMBER; leap *= 2) {
    let found: number | null = null;
    const read = asFarAsItGoes(from, sql, [...owner, start + leap], (row) => (found = Number(row[step])));
    if (read) return found;
  }
  return null;
}

/** What was measured in a cook whose own row is lost keeps a cook to be found under. */
function adoptOrphans(to: Db): void {
  to.exec(`
    INSERT INTO cook (id, name, notes, started_at, ended_at, header)
    SELECT cook, 'Recovered', '', start, last, json_object(
      'recording', 1, 'startedAt', strftime('%Y-%m-%dT%H:%M:%fZ', start / 1000.0, 'unixepoch'),
      'channels', json_array(json_object('id', 'stone', 'role', 'stone'), json_object('id', 'dome', 'role', 'dome')),
      'targets', json_object(), 'probes', json_array())
    FROM (
      SELECT cook, CAST(min(at - t * 1000) AS INTEGER) AS start, max(at) AS last FROM reading
      WHERE cook NOT IN (SELECT id FROM cook) GROUP BY cook
    );
    DELETE FROM line WHERE cook NOT IN (SELECT id FROM cook);
    DELETE FROM mark WHERE cook NOT IN (SELECT id FROM cook);
    DELETE FROM event WHERE cook NOT IN (SELECT id FROM cook);
    DELETE FROM pizza WHERE cook NOT IN (SELECT id FROM cook);
    DELETE FROM photo WHERE cook NOT IN (SELECT id FROM cook);
  `);
}
