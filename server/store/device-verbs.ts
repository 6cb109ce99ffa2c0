import type { Right } from '../../shared/api/access.ts';
import type { Connection } from './database-connection.ts';
import type { Queue } from './queue.ts';

/** A device that was let in. `hash` is all that is kept of its token. Times are ms since the epoch. */
export type StoredDevice = {
  id: string;
  name: string;
  right: Right;
  hash: string;
  enteredAt: number;
  seenAt: number;
};

export type DeviceShelf = {
  devices(): StoredDevice[];
  putDevice(device: StoredDevice): void;
  removeDevice(id: string): void;
  persisted(): Promise<void>;
};

/** Devices are asked for with every request: they are held in memory, and written behind it. */
export function deviceVerbs(db: Connection, queue: Queue): Omit<DeviceShelf, 'persisted'> {
  const all = db.statement(
    'SELECT id, name, may AS "right", hash, entered_at AS enteredAt, seen_at AS seenAt FROM device ORDER BY entered_at',
  );
  const put = db.statement(
    'INSERT OR REPLACE INTO device (id, name, may, hash, entered_at, seen_at) VALUES (?, ?, ?, ?, ?, ?)',
  );
  const remove = db.statement('DELETE FROM device WHERE id = ?');
  const devices = new Map((all.all() as StoredDevice[]).map((device) => [device.id, device])); // columns of our own table, named in the query
  return {
    devices: () => [...devices.values()],
    putDevice(device) {
      devices.set(device.id, device);
      const { id, name, right, hash, enteredAt, seenAt } = device;
      queue.add(() => put.run(id, name, right, hash, enteredAt, seenAt));
    },
    removeDevice(id) {
      devices.delete(id);
      queue.add(() => remove.run(id));
    },
  };
}
