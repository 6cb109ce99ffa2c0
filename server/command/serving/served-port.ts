import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { messageOf } from '../../../shared/fault.ts';

const fileIn = (folder: string): string => join(folder, 'peelside.port');

/**
 * Notes for this machine's other commands at which port of loopback the server of a data folder listens. Without the note, as
 * on a disk that is full, it serves all the same.
 */
export function writePort(folder: string, port: number): void {
  try {
    writeFileSync(fileIn(folder), `${port}\n`, { mode: 0o600 });
  } catch (error) {
    console.error(
      `Where this server is could not be noted (${messageOf(error)}): give "peelside pair" its port by --port ${port}.`,
    );
  }
}

export function removePort(folder: string): void {
  if (readPort(folder) !== null) rmSync(fileIn(folder), { force: true });
}

/** The port that the data folder's server noted; null where none runs, or its note can't be read. */
export function readPort(folder: string): number | null {
  try {
    const port = Number(readFileSync(fileIn(folder), 'utf8').trim());
    return Number.isInteger(port) && port >= 1 && port <= 65_535 ? port : null;
  } catch {
    return null;
  }
}
