import { existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { Fault } from '../../shared/fault.ts';
import { setAside } from './aside.ts';
import { DATABASE_NAME, lockFolder, openToRead, openWhole, type Db } from './database.ts';

/** Pages copied between two breaths of the event loop. */
const PAGES = 1000;
export type Progress = (fraction: number) => void;

/**
 * Copies the folder's database as it is at this instant, also while a server writes to it. The copy has another name
 * until it is whole.
 * @returns how many cooks are in it
 * @throws Fault when there is none, or `file` is taken or can't be written
 */
export async function backUp(folder: string, file: string, progress: Progress): Promise<number> {
  const source = join(folder, DATABASE_NAME);
  if (!existsSync(source))
    throw new Fault('not-found', `There is nothing to back up in ${folder}: name its folder with --data.`);
  if (existsSync(file))
    throw new Fault('conflict', `${file} is there already: choose another name, or move it away.`);
  const db = openToRead(source);
  const part = `${file}.part`;
  try {
    mkdirSync(dirname(file), { recursive: true });
    await copyInstant(db, part, progress);
    const copy = openWhole(part);
    const cooks = copy.prepare('SELECT count(*) FROM cook').pluck().get() as number; // count is an integer
    copy.close();
    renameSync(part, file);
    return cooks;
  } catch (error) {
    for (const rest of ['', '-wal', '-shm']) rmSync(part + rest, { force: true });
    if (error instanceof Fault) throw error;
    const why = error instanceof Error ? error.message : String(error);
    throw new Fault('unusable', `The backup could not be made (${why}): look after ${dirname(file)}.`);
  } finally {
    db.close();
  }
}

/** An open read keeps the copy to one instant: what a server writes meanwhile does not start it again. */
async function copyInstant(db: Db, to: string, progress: Progress): Promise<void> {
  db.exec('BEGIN');
  db.prepare('SELECT count(*) FROM sqlite_schema').get();
  await db.backup(to, {
    progress({ totalPages, remainingPages }) {
      progress(totalPages > 0 ? 1 - remainingPages / totalPages : 1);
      return PAGES;
    },
  });
  db.exec('COMMIT');
}

/**
 * Puts a backup in the place of the folder's database, which is set aside first.
 * @param at ms since the epoch, for the name of what is set aside
 * @returns where the database that was there is now; null where there was none
 * @throws Fault `conflict` while a server has the folder, `not-found` or `unusable` when the backup is not one
 */
export async function restore(
  folder: string,
  file: string,
  at: number,
  progress: Progress,
): Promise<string | null> {
  const backup = openWhole(file);
  try {
    mkdirSync(folder, { recursive: true });
    const unlock = lockFolder(folder);
    try {
      const part = join(folder, `${DATABASE_NAME}.part`);
      rmSync(part, { force: true });
      await copyInstant(backup, part, progress);
      const aside = setAside(folder, 'replaced', at);
      renameSync(part, join(folder, DATABASE_NAME));
      return aside;
    } finally {
      unlock();
    }
  } finally {
    backup.close();
  }
}
