import { mkdirSync, statfsSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { messageOf } from '../../shared/fault.ts';
import { checkBluetooth, checkSerial, type Finding } from '../source/source-checks.ts';
import { createSources } from '../source/source-list.ts';
import { DATABASE_NAME, needSqlite } from '../store/database.ts';
import { writable } from '../store/repair/file-access.ts';
import { bleChild } from './files.ts';
import { checkCertificate } from './serving/certificate-check.ts';
import { dataFolder, numberOption, options } from './command.ts';

/** A long cook with eight channels takes about 100 MB; ten of them leave room to breathe. */
const FREE_DISK_BYTES = 1e9;
/** The day this check was written: a clock before it is wrong. */
const CLOCK_FROM = Date.parse('2026-01-01');

function checkSqlite(): Finding {
  try {
    needSqlite();
    return { name: 'sqlite', ok: true, message: 'it is built for this Node' };
  } catch (error) {
    const [message = '', remedy = ''] = messageOf(error).split(': run ');
    return { name: 'sqlite', ok: false, message, remedy: `Run ${remedy}` };
  }
}

export function checkData(folder: string): Finding {
  try {
    mkdirSync(folder, { recursive: true });
    writable(folder, join(folder, DATABASE_NAME));
    return { name: 'data folder', ok: true, message: `${folder} can be written` };
  } catch (error) {
    return {
      name: 'data folder',
      ok: false,
      message: messageOf(error),
      remedy: 'Give this user the right to write there, or choose another folder with --data.',
    };
  }
}

/** @param look as `statfsSync` */
export function checkDisk(
  folder: string,
  look: (path: string) => { bavail: number; bsize: number } = statfsSync,
): Finding {
  try {
    const { bavail, bsize } = look(folder);
    const free = bavail * bsize;
    const message = `${(free / 1e9).toFixed(1)} GB free`;
    return free > FREE_DISK_BYTES
      ? { name: 'disk', ok: true, message }
      : { name: 'disk', ok: false, message, remedy: 'Free some space: a cook may stop being kept.' };
  } catch {
    return {
      name: 'disk',
      ok: false,
      message: 'the free space could not be read',
      remedy: 'Repair the data folder first.',
    };
  }
}

/** @param now ms since the epoch, as the machine has it */
export function checkClock(now: number): Finding {
  const ok = now > CLOCK_FROM;
  return {
    name: 'clock',
    ok,
    message: new Date(now).toISOString(),
    ...(!ok && {
      remedy: 'Set the clock (timedatectl set-ntp true); rates and timers are right even so, dates are not.',
    }),
  };
}

export function checkPort(port: number): Promise<Finding> {
  return new Promise((resolve) => {
    const probe = createServer();
    probe.once('error', () =>
      resolve({
        name: 'port',
        ok: false,
        message: `${port} is taken`,
        remedy: 'Stop the program that uses it (perhaps another peelside), or choose another with --port.',
      }),
    );
    probe.listen(port, '127.0.0.1', () =>
      probe.close(() => resolve({ name: 'port', ok: true, message: `${port} is free` })),
    );
  });
}

export function checkNode(version: string): Finding {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  const ok = major > 20 || (major === 20 && minor >= 19);
  return {
    name: 'node',
    ok,
    message: `Node ${version}`,
    ...(!ok && { remedy: 'Install Node 20.19 or newer.' }),
  };
}

/** The radio, tried as the server uses it. */
async function checkRadio(): Promise<Finding[]> {
  const ble = createSources({ bleChild }).find((source) => source.kind === 'ble');
  return ble ? [await checkBluetooth(ble)] : [];
}

export async function run(args: string[], usage: string): Promise<void> {
  const { values } = options(usage, args, {
    data: { type: 'string' },
    port: { type: 'string' },
    serial: { type: 'string', multiple: true },
  });
  const folder = dataFolder(values.data);
  const port = numberOption('port', values.port, 8180, [1, 65_535]);
  const findings = [
    checkNode(process.versions.node),
    checkSqlite(),
    checkData(folder),
    checkDisk(folder),
    checkClock(Date.now()),
    await checkPort(port),
    checkCertificate(folder, Date.now()),
    ...(await checkRadio()),
    ...(await checkSerial(values.serial ?? [])),
  ];
  for (const { name, ok, message, remedy } of findings)
    console.log(`${ok ? 'ok  ' : 'FIX '}  ${name}: ${message}${remedy ? `\n      ${remedy}` : ''}`);
  if (findings.some((finding) => !finding.ok)) process.exitCode = 1;
}
