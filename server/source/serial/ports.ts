import { accessSync, constants, existsSync, readFileSync, readdirSync, realpathSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { listByLibrary } from './serialport-library.ts';

export type ListedPort = {
  /** `usb:0403:6001:A1B2` (vendor, product, serial number) or `usb:0403:6001@1-1.2` (plug); else the path. */
  id: string;
  path: string;
  name: string;
  isUsb: boolean;
};

/** Where the kernel tells of its ports; others only in tests. */
type Roots = { sys: string; dev: string };
const LINUX: Roots = { sys: '/sys/class/tty', dev: '/dev' };
const NAMES = /^(ttyUSB|ttyACM|ttyAMA|ttyS|ttyO|ttymxc|ttyXRUSB|rfcomm)\d+$/;
/** From the port up to the USB device there are an interface and a driver's folder or two. */
const STEPS_UP = 6;

/** Serial ports of this machine. `extra` are paths that the kernel does not tell of (a pair made by another program). */
export async function listPorts(extra: readonly string[], roots: Roots = LINUX): Promise<ListedPort[]> {
  const listed = process.platform === 'linux' ? listLinux(roots) : await listOthers();
  const more = extra
    .filter((path) => existsSync(path))
    .map((path) => ({ id: path, path, name: basename(path), isUsb: false }));
  return [...listed, ...more];
}

/** By the kernel's own folder: the library asks a program for it that not every machine has, and dies without. */
function listLinux({ sys, dev }: Roots): ListedPort[] {
  if (!existsSync(sys)) return [];
  return readdirSync(sys)
    .filter((name) => NAMES.test(name) && isThere(join(sys, name), join(dev, name)))
    .map((name) => describe(join(sys, name), join(dev, name), name));
}

/** The kernel names some ports of which there is only the name; the type of those is 0. */
function isThere(sys: string, path: string): boolean {
  return existsSync(path) && existsSync(join(sys, 'device')) && read(sys, 'type') !== '0';
}

function describe(sys: string, path: string, name: string): ListedPort {
  const folders = upwards(realpathSync(join(sys, 'device')));
  const usb = folders.find((folder) => existsSync(join(folder, 'idVendor')));
  if (usb === undefined) return { id: path, path, name, isUsb: false };
  const [vendor, product] = [read(usb, 'idVendor'), read(usb, 'idProduct')];
  const serial = read(usb, 'serial');
  const plug = serial === '' ? `@${basename(usb)}` : `:${serial}`;
  const number =
    folders.map((folder) => read(folder, 'bInterfaceNumber')).find((text) => text !== '') ?? '00';
  // A device with several ports has one interface each.
  const several = Number.parseInt(number, 16) > 1 ? `/${number}` : '';
  const words = read(usb, 'product') || read(usb, 'manufacturer');
  return {
    id: `usb:${vendor}:${product}${plug}${several}`.slice(0, 190),
    path,
    name: words ? `${words.slice(0, 60)} (${name})` : name,
    isUsb: true,
  };
}

function upwards(folder: string): string[] {
  const folders = [folder];
  for (let i = 0; i < STEPS_UP; i += 1) folders.push(dirname(folders.at(-1) ?? '/'));
  return folders;
}

function read(folder: string, name: string): string {
  try {
    return readFileSync(join(folder, name), 'utf8').trim();
  } catch {
    return '';
  }
}

async function listOthers(): Promise<ListedPort[]> {
  const list = await listByLibrary();
  return list.map(({ path, vendorId, productId, serialNumber, locationId, manufacturer }) => {
    const isUsb = vendorId !== undefined && productId !== undefined;
    const plug = serialNumber ? `:${serialNumber}` : `@${locationId ?? path}`;
    const id = isUsb ? `usb:${vendorId}:${productId}${plug}`.toLowerCase().slice(0, 190) : path;
    return { id, path, name: manufacturer ? `${manufacturer} (${basename(path)})` : basename(path), isUsb };
  });
}

type PortError = { problem: string; remedy: string };

/** Why a port could not be opened, with the exact remedy; `code` and `message` are the operating system's. */
export function portErrorOf(path: string, message: string): PortError {
  if (/EACCES|EPERM|permission denied/i.test(message))
    return {
      problem: `This user may not use ${path}.`,
      remedy: 'Run "sudo usermod -aG dialout $USER" once, then log out and in again.',
    };
  if (/lock|busy|EBUSY|temporarily unavailable|access denied/i.test(message))
    return {
      problem: `${path} is taken by another program.`,
      remedy: `Close that program, often the serial monitor of a board's tools ("fuser -v ${path}" names it).`,
    };
  if (/Cannot find (package|module)|No native build was found/i.test(message))
    return {
      problem: 'The serial port library is not installed: npm could not build it on this machine.',
      remedy:
        'Install a compiler (Debian: sudo apt-get install build-essential python3), delete the folder node_modules and start peelside again; where it was installed with "npm install -g", install it again.',
    };
  if (/ENOENT|no such file/i.test(message))
    return { problem: `${path} is gone.`, remedy: 'Plug it in again; it is taken up by itself.' };
  return {
    problem: `${path} can't be opened (${message.slice(0, 120)}).`,
    remedy: 'Unplug it and plug it in again; it is tried again by itself.',
  };
}

/** Says without opening the port, which would reset some boards. */
export function mayUse(path: string): boolean {
  try {
    accessSync(path, constants.R_OK | constants.W_OK);
    return true;
  } catch {
    return !existsSync(path);
  }
}
