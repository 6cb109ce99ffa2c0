import type { Connection } from './database-connection.ts';
import type { Queue } from './queue.ts';
import { row, rows } from './rows.ts';
import type { PhotoVerbs, StoredPhoto } from './store.ts';

export function photoVerbs(db: Connection, queue: Queue): PhotoVerbs {
  const insert = db.statement(
    'INSERT OR REPLACE INTO photo (cook, id, pizza, part, at, jpeg) VALUES (?, ?, ?, ?, ?, ?)',
  );
  const all = db.statement('SELECT id, pizza, part, at FROM photo WHERE cook = ? ORDER BY at, id');
  const byId = db.statement('SELECT jpeg FROM photo WHERE cook = ? AND id = ?', true);
  const remove = db.statement('DELETE FROM photo WHERE cook = ? AND id = ?');
  return {
    addPhoto(cook, { id, pizza, part, at }, jpeg) {
      queue.add(() => insert.run(cook, id, pizza, part, at, jpeg));
    },
    photos(cook) {
      queue.flush();
      return rows<StoredPhoto>(all.all(cook));
    },
    photo(cook, id) {
      queue.flush();
      return row<Uint8Array>(byId.get(cook, id));
    },
    removePhoto(cook, id) {
      queue.add(() => remove.run(cook, id));
    },
  };
}
