import {
  accessSync,
  chmodSync,
  closeSync,
  constants,
  existsSync,
  openSync,
  realpathSync,
  statSync,
} from 'node:fs';

/** SQLite puts its log beside the file that a link leads to; that file is made where it is not there yet. */
export function behindLink(file: string): string {
  if (!existsSync(file)) closeSync(openSync(file, 'a', 0o600));
  return realpathSync(file);
}

/** An older peelside let others read it. SQLite gives its log the rights of the file. */
export function forThisUser(folder: string, file: string): void {
  for (const path of [folder, file, `${file}-wal`, `${file}-shm`])
    try {
      const { mode } = statSync(path);
      if ((mode & 0o077) !== 0) chmodSync(path, mode & 0o700);
    } catch {
      // It is not there yet, or somebody else's to change.
    }
}

/** SQLite opens for reading what it may not write, and says so only when something is to be kept. @throws as `accessSync` */
export function writable(folder: string, file: string): void {
  accessSync(folder, constants.W_OK | constants.X_OK);
  for (const path of [file, `${file}-wal`, `${file}-shm`])
    if (existsSync(path)) accessSync(path, constants.R_OK | constants.W_OK);
}
