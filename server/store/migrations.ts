/**
 * The schema, one step a version; `user_version` of the file says how far it is. Never edit a step that has shipped:
 * add one. Times: `t` seconds since the cook started (monotonic), `at` and `*_at` ms since the epoch (labels).
 */
export const MIGRATIONS: readonly string[] = [
  `
  CREATE TABLE cook (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    notes TEXT NOT NULL DEFAULT '',
    started_at INTEGER NOT NULL,
    ended_at INTEGER,
    deleted_at INTEGER,
    rehearsal INTEGER NOT NULL DEFAULT 0,
    -- what the recording's header holds: channels, targets, probes, origin
    header TEXT NOT NULL,
    -- a small drawing of the curves for the list, made when the cook has ended
    picture TEXT
  ) STRICT;

  -- The cook as it came, line by line, in the order of arrival: a recording. What replays is this.
  CREATE TABLE line (
    cook INTEGER NOT NULL REFERENCES cook(id) ON DELETE CASCADE,
    seq INTEGER NOT NULL,
    t REAL NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (cook, seq)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE reading (
    cook INTEGER NOT NULL REFERENCES cook(id) ON DELETE CASCADE,
    channel TEXT NOT NULL,
    at INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    t REAL NOT NULL,
    celsius REAL,
    quality TEXT NOT NULL,
    reason TEXT,
    PRIMARY KEY (cook, channel, at, seq)
  ) STRICT, WITHOUT ROWID;

  -- States, alerts, forecasts kept for review, and what was noticed: the engine's lines.
  CREATE TABLE mark (
    cook INTEGER NOT NULL REFERENCES cook(id) ON DELETE CASCADE,
    seq INTEGER NOT NULL,
    t REAL NOT NULL,
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (cook, seq)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE event (
    cook INTEGER NOT NULL REFERENCES cook(id) ON DELETE CASCADE,
    id TEXT NOT NULL,
    t REAL NOT NULL,
    body TEXT NOT NULL,
    undone INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (cook, id)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE pizza (
    cook INTEGER NOT NULL REFERENCES cook(id) ON DELETE CASCADE,
    id TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (cook, id)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE probe (id TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT, WITHOUT ROWID;
  CREATE TABLE setting (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
  `,
  `
  -- Devices of the home network that were let in; of a token only its SHA-256 is here. Times are ms since the epoch.
  CREATE TABLE device (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    may TEXT NOT NULL CHECK (may IN ('look', 'act')),
    hash TEXT NOT NULL UNIQUE,
    entered_at INTEGER NOT NULL,
    seen_at INTEGER NOT NULL
  ) STRICT, WITHOUT ROWID;
  `,
  `
  -- Of each slot of a channel (its width is in seconds of the cook) the lowest reading (part 0), the highest (1) and the
  -- first without a value (2), so that a long cook is drawn without reading all of it. Made from "reading", and can be
  -- made again from it.
  CREATE TABLE peak (
    cook INTEGER NOT NULL REFERENCES cook(id) ON DELETE CASCADE,
    channel TEXT NOT NULL,
    width INTEGER NOT NULL,
    slot INTEGER NOT NULL,
    part INTEGER NOT NULL,
    at INTEGER NOT NULL,
    t REAL NOT NULL,
    celsius REAL,
    quality TEXT NOT NULL,
    reason TEXT,
    PRIMARY KEY (cook, channel, width, slot, part)
  ) STRICT, WITHOUT ROWID;
  `,
  `
  -- Photos of pizzas, at most 200 kB each. Rows so large belong in a table with rowids (sqlite.org/withoutrowid.html).
  CREATE TABLE photo (
    cook INTEGER NOT NULL REFERENCES cook(id) ON DELETE CASCADE,
    id TEXT NOT NULL,
    pizza TEXT NOT NULL,
    part TEXT NOT NULL CHECK (part IN ('top', 'base')),
    at INTEGER NOT NULL,
    jpeg BLOB NOT NULL,
    PRIMARY KEY (cook, id)
  ) STRICT;
  `,
];
export const SCHEMA_VERSION = MIGRATIONS.length;
/** "PEEL" in ASCII, so that a database from elsewhere is known by its header. */
export const APPLICATION_ID = 0x5045454c;
