import { readFileSync, readdirSync, readlinkSync, realpathSync } from 'node:fs';
import { join } from 'node:path';
import { messageOf } from '../../shared/fault.ts';
import { systemClock, type Clock } from './timing.ts';
import { loadLibrary } from './serial/serialport-library.ts';
import { listPorts, mayUse, portErrorOf, type ListedPort } from './serial/ports.ts';
import type { Source, SourceStatus } from './source.ts';

/** One thing that could stop a cook from being watched. */
export type Finding = { name: string; ok: boolean; message: string; remedy?: string };

/** Longer than a radio needs to say what is wrong with it, ms. */
const RADIO_TIMEOUT_MS = 8000;

/** Starts the radio as the server does, and says how it went. */
export async function checkBluetooth(source: Source, clock: Clock = systemClock): Promise<Finding> {
  const status = await new Promise<SourceStatus | null>((resolve) => {
    const off = clock.after(RADIO_TIMEOUT_MS, () => resolve(null));
    source.start({
      frame: () => {},
      status: (status) => {
        if (status.state !== 'running' && status.state !== 'failed') return;
        off();
        resolve(status);
      },
    });
  });
  await source.stop();
  if (status?.state === 'running') return { name: 'bluetooth', ok: true, message: 'the adapter works' };
  return {
    name: 'bluetooth',
    ok: false,
    message: status?.problem ?? 'The Bluetooth adapter does not answer.',
    remedy: status?.remedy ?? 'Unplug it and plug it in again.',
  };
}

/** Each serial port: whether this user may use it and whether another program has it. None of them is opened. */
export async function checkSerial(
  extra: readonly string[] = [],
  list = listPorts,
  load: () => Promise<unknown> = loadLibrary,
): Promise<Finding[]> {
  try {
    await load();
  } catch (error) {
    const { problem, remedy } = portErrorOf('', messageOf(error));
    return [{ name: 'serial', ok: false, message: problem, remedy }];
  }
  const ports = await list(extra);
  if (ports.length === 0) return [{ name: 'serial', ok: true, message: 'no serial port is plugged in' }];
  return ports.map(checkPort);
}

function checkPort({ path, name }: ListedPort): Finding {
  const title = `serial ${name}`;
  const user = userOf(path);
  const error = !mayUse(path)
    ? portErrorOf(path, 'EACCES')
    : user !== null
      ? portErrorOf(path, 'EBUSY')
      : null;
  if (!error) return { name: title, ok: true, message: `${path} can be used` };
  const by = user === null ? '' : ` That is ${user}.`;
  return { name: title, ok: false, message: error.problem + by, remedy: error.remedy };
}

/** Another program that has the file open, as far as this user may see; null = none. */
function userOf(port: string, proc = '/proc'): string | null {
  const path = realpathSync(port);
  for (const pid of namesIn(proc).filter((name) => /^\d+$/.test(name) && Number(name) !== process.pid)) {
    const folder = join(proc, pid, 'fd');
    if (namesIn(folder).some((fd) => leadsTo(join(folder, fd)) === path)) return programOf(join(proc, pid));
  }
  return null;
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

function leadsTo(link: string): string {
  try {
    return readlinkSync(link);
  } catch {
    return '';
  }
}

function programOf(folder: string): string {
  try {
    return readFileSync(join(folder, 'comm'), 'utf8').trim();
  } catch {
    return 'a program that has just ended';
  }
}
