import { fork, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { newController, type Controller } from './controller.ts';
import { Medium } from './medium.ts';
import { atEnd } from '../support/endings.ts';

/** What a peripheral is; all made up. `every` is how often it speaks, ms (1000). */
export type PeripheralSpec = {
  name: string;
  every?: number;
  battery?: number;
} & (
  | { kind: 'health' | 'made-up'; celsius: number }
  /** `silentRead`: its temperatures can be read and do not notify. */
  | { kind: 'environmental'; temperatures: { name: string; celsius: number }[]; silentRead?: boolean }
  | { kind: 'bthome'; temperatures: { celsius: number }[] }
);

export type Peripheral = {
  readonly name: string;
  readonly address: string;
  /** °C of each of its temperatures, notified at once. */
  setTemperatures(...celsius: number[]): void;
  setBattery(percent: number): void;
  /** The link breaks; it advertises again at once. */
  drop(): void;
  /** Out of range: the link breaks and it is silent until it is back. */
  away(isAway: boolean): void;
  /** The link stands and nothing comes over it. */
  silence(isSilent: boolean): void;
  /** It advertises and does not let itself be connected to. */
  refuse(isRefusing: boolean): void;
  /** Its next packet becomes these bytes of the attribute protocol. */
  garble(bytes: Buffer): void;
  duplicate(isDuplicated: boolean): void;
  readonly isLinked: boolean;
};

export type AdapterFault = 'eafnosupport' | 'enodev' | 'eperm';

export type FakeBle = {
  /** For the environment of the process that runs noble, or of the server that starts it. */
  readonly env: Record<string, string>;
  peripheral(name: string): Peripheral;
  /** The adapter of the process with `env`. */
  readonly adapter: {
    power(on: boolean): void;
    /** How it answers from the next start on; null = it works. */
    fault(fault: AdapterFault | null): void;
    /** Another program on this machine stops the scan. */
    stopScan(): void;
    readonly isScanning: boolean;
    readonly links: number;
    /** The process that uses it. */
    readonly pid: number;
  };
  /** An advertisement that no peripheral made: type 3 can't be connected to. */
  broadcast(address: string, data: Buffer, type?: number): void;
  close(): Promise<void>;
};

const CENTRAL = 'c0:ff:ee:00:00:01';
const READY_WITHIN = 90_000;
const preload = fileURLToPath(new URL('socket.cjs', import.meta.url));
const program = fileURLToPath(new URL('peripheral.mjs', import.meta.url));

/**
 * Starts an air with one adapter for the server and one process a peripheral, all advertising when it resolves; the
 * test's end ends it.
 */
export async function startFakeBle({
  peripherals = [],
}: { peripherals?: PeripheralSpec[] } = {}): Promise<FakeBle> {
  const folder = mkdtempSync(join(tmpdir(), 'air-'));
  const medium = new Medium();
  medium.add(newController(CENTRAL));
  const server = createServer((socket) => attach(socket, medium));
  server.listen(join(folder, 'air.sock'));
  await once(server, 'listening');

  const envOf = (address: string): Record<string, string> => ({
    NODE_OPTIONS: `--require ${preload}`,
    AIR_FOLDER: folder,
    AIR_ADDRESS: address,
  });
  const processes = new Map<string, { address: string; process: ChildProcess; spec: PeripheralSpec }>();
  const started = peripherals.map(async (spec, i) => {
    const address = `d0:0d:00:00:00:${(i + 1).toString(16).padStart(2, '0')}`;
    medium.add(newController(address));
    const child = fork(program, [JSON.stringify(spec)], {
      env: { ...process.env, ...envOf(address) },
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    processes.set(spec.name, { address, process: child, spec });
    await readiness(child, spec.name);
  });
  await Promise.all(started);

  async function close(): Promise<void> {
    medium.close();
    const ends = [...processes.values()].map(async ({ process: child }) => {
      if (child.exitCode !== null || child.signalCode !== null) return;
      child.kill('SIGKILL');
      await once(child, 'exit');
    });
    await Promise.all(ends);
    for (const controller of medium.controllers.values()) controller.socket?.destroy();
    await new Promise((resolve) => server.close(resolve));
    rmSync(folder, { recursive: true, force: true });
  }
  atEnd(close);
  const central = controllerOf(medium, CENTRAL);
  return {
    env: envOf(CENTRAL),
    peripheral: (name) => {
      const found = processes.get(name);
      if (!found) throw new Error(`There is no peripheral "${name}" on this air.`);
      return peripheralOf(medium, name, found.address, found.process);
    },
    adapter: {
      power: (on) => {
        mark(folder, `off-${CENTRAL}`, on ? null : 'off');
        medium.power(central, on);
      },
      fault: (fault) => mark(folder, `fault-${CENTRAL}`, fault),
      stopScan: () => {
        central.scanning = false;
        // Raw sockets hear the commands of others.
        const complete = Buffer.from([0x01, 0x0c, 0x20, 2, 0, 0]);
        central.socket?.write(Buffer.concat([Buffer.from([complete.length, 0]), complete]));
      },
      get isScanning() {
        return central.scanning;
      },
      get links() {
        return central.links.size;
      },
      get pid() {
        return central.pid;
      },
    },
    broadcast: (address, data, type) => medium.broadcast(address, data, type),
    close,
  };
}

function attach(socket: Socket, medium: Medium): void {
  let controller: Controller | null = null;
  let waiting = Buffer.alloc(0);
  socket.on('error', () => {});
  socket.on('close', () => {
    // As with a real controller, its links outlive the process that made them.
    if (controller?.socket === socket) controller.socket = null;
  });
  socket.on('data', (bytes) => {
    waiting = Buffer.concat([waiting, bytes]);
    while (waiting.length >= 2 && waiting.length >= 2 + waiting.readUInt16LE(0)) {
      const packet = waiting.subarray(2, 2 + waiting.readUInt16LE(0));
      waiting = waiting.subarray(2 + packet.length);
      if (controller) medium.take(controller, packet);
      else controller = greet(packet.toString(), socket, medium);
    }
  });
}

function greet(words: string, socket: Socket, medium: Medium): Controller {
  const [address = '', pid] = words.split(' ');
  const controller = controllerOf(medium, address);
  controller.socket = socket;
  controller.pid = Number(pid);
  return controller;
}

function controllerOf(medium: Medium, address: string): Controller {
  const found = medium.controllers.get(address);
  if (!found) throw new Error(`There is no controller ${address} on this air.`);
  return found;
}

async function readiness(child: ChildProcess, name: string): Promise<void> {
  const gone = new AbortController();
  child.once('exit', () => gone.abort());
  const signal = AbortSignal.any([AbortSignal.timeout(READY_WITHIN), gone.signal]);
  try {
    for (;;) if ((await once(child, 'message', { signal }))[0] === 'ready') return;
  } catch {
    throw new Error(`The peripheral "${name}" did not start: run "node ${program}" to see why.`);
  }
}

function mark(folder: string, name: string, text: string | null): void {
  const file = join(folder, name);
  if (text !== null) writeFileSync(file, text);
  else if (existsSync(file)) rmSync(file);
}

function put(set: Set<string>, address: string, isIn: boolean): void {
  if (isIn) set.add(address);
  else set.delete(address);
}

function peripheralOf(medium: Medium, name: string, address: string, child: ChildProcess): Peripheral {
  const links = () => medium.linksOf(address);
  return {
    name,
    address,
    setTemperatures: (...temperatures) => void child.send({ temperatures }),
    setBattery: (battery) => void child.send({ battery }),
    drop: () => medium.drop(address),
    away: (isAway) => {
      put(medium.outOfRange, address, isAway);
      if (isAway) medium.drop(address);
    },
    silence: (isSilent) => put(medium.silent, address, isSilent),
    refuse: (isRefusing) => put(medium.refusing, address, isRefusing),
    garble: (bytes) => {
      for (const link of links()) link.garbled.push(bytes);
    },
    duplicate: (isDuplicated) => {
      for (const link of links()) link.duplicated = isDuplicated;
    },
    get isLinked() {
      return links().length > 0;
    },
  };
}
