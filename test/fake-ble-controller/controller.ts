import type { Socket } from 'node:net';
import { command, event, macBytes } from './hci.ts';

export type Controller = {
  readonly address: string;
  /** The process that uses it now. */
  pid: number;
  socket: Socket | null;
  powered: boolean;
  scanning: boolean;
  filterDuplicates: boolean;
  reported: Set<string>;
  advertising: boolean;
  /** ms */
  interval: number;
  advert: Buffer;
  scanResponse: Buffer;
  /** Whom it is connecting to, and for how long the link may be silent (ms). */
  connecting: { address: string; supervision: number } | null;
  /** Links by this controller's handle. */
  links: Map<number, Link>;
};

export type End = { controller: Controller; handle: number };

export type Link = {
  central: End;
  peripheral: End;
  supervision: number;
  duplicated: boolean;
  /** Takes the place of the payload (ATT) of the next packets of the peripheral. */
  garbled: Buffer[];
};

export function newController(address: string): Controller {
  return {
    address,
    pid: 0,
    socket: null,
    powered: true,
    scanning: false,
    filterDuplicates: false,
    reported: new Set(),
    advertising: false,
    interval: 100,
    advert: Buffer.alloc(0),
    scanResponse: Buffer.alloc(0),
    connecting: null,
    links: new Map(),
  };
}

/** Buffer of the controller for data to send: bytes a packet and packets. */
const ACL_LENGTH = 27;
const ACL_PACKETS = 4;

export function send(to: Controller, packet: Buffer): void {
  if (!to.powered || !to.socket?.writable) return;
  const head = Buffer.alloc(2);
  head.writeUInt16LE(packet.length, 0);
  to.socket.write(Buffer.concat([head, packet]));
}

const complete = (to: Controller, opcode: number, ...result: number[]): void =>
  send(to, event(0x0e, 1, opcode & 0xff, opcode >> 8, 0, ...result));

const status = (to: Controller, opcode: number, code = 0): void =>
  send(to, event(0x0f, code, 1, opcode & 0xff, opcode >> 8));

export type Medium = {
  connect(from: Controller): void;
  disconnect(link: Link, by: Controller, reason: number): void;
};

/** What a controller does with a command of its host (Core Specification, Vol 4 Part E); unknown ones it completes. */
export function obey(controller: Controller, packet: Buffer, medium: Medium): void {
  const { opcode, parameters } = command(packet);
  const act = COMMANDS[opcode];
  if (act) act(controller, parameters, opcode, medium);
  else complete(controller, opcode);
}

type Act = (controller: Controller, parameters: Buffer, opcode: number, medium: Medium) => void;

const COMMANDS: Record<number, Act> = {
  // Disconnect
  0x0406: (controller, parameters, opcode, medium) => {
    const link = controller.links.get(parameters.readUInt16LE(0));
    status(controller, opcode, link ? 0 : 0x02);
    if (link) medium.disconnect(link, controller, parameters[2] ?? 0x13);
  },
  // Reset
  0x0c03: (controller, _parameters, opcode, medium) => {
    for (const link of controller.links.values()) medium.disconnect(link, controller, 0x16);
    Object.assign(controller, { scanning: false, advertising: false, connecting: null });
    complete(controller, opcode);
  },
  // Read Local Version: Bluetooth 4.2
  0x1001: (controller, _parameters, opcode) => complete(controller, opcode, 8, 0, 0, 8, 0xff, 0xff, 0, 0),
  0x1005: (controller, _parameters, opcode) =>
    complete(controller, opcode, ACL_LENGTH, 0, 0, ACL_PACKETS, 0, 0, 0),
  0x1009: (controller, _parameters, opcode) => complete(controller, opcode, ...macBytes(controller.address)),
  // Read RSSI
  0x1405: (controller, parameters, opcode) =>
    complete(controller, opcode, parameters[0] ?? 0, parameters[1] ?? 0, 256 - 60),
  0x0c6c: (controller, _parameters, opcode) => complete(controller, opcode, 1, 0),
  0x2002: (controller, _parameters, opcode) => complete(controller, opcode, ACL_LENGTH, 0, ACL_PACKETS),
  // Advertising parameters, data, scan response, enable
  0x2006: (controller, parameters, opcode) => {
    controller.interval = parameters.readUInt16LE(0) * 0.625;
    complete(controller, opcode);
  },
  0x2008: (controller, parameters, opcode) => {
    controller.advert = Buffer.from(parameters.subarray(1, 1 + (parameters[0] ?? 0)));
    complete(controller, opcode);
  },
  0x2009: (controller, parameters, opcode) => {
    controller.scanResponse = Buffer.from(parameters.subarray(1, 1 + (parameters[0] ?? 0)));
    complete(controller, opcode);
  },
  0x200a: (controller, parameters, opcode) => {
    controller.advertising = parameters[0] === 1;
    complete(controller, opcode);
  },
  // Scan enable
  0x200c: (controller, parameters, opcode) => {
    controller.scanning = parameters[0] === 1;
    controller.filterDuplicates = parameters[1] === 1;
    controller.reported.clear();
    complete(controller, opcode);
  },
  // Create connection: refused while another is being made
  0x200d: (controller, parameters, opcode, medium) => {
    if (controller.connecting) return status(controller, opcode, 0x0c);
    const address = [...parameters.subarray(6, 12)]
      .reverse()
      .map((byte) => byte.toString(16).padStart(2, '0'))
      .join(':');
    controller.connecting = { address, supervision: parameters.readUInt16LE(19) * 10 };
    status(controller, opcode);
    medium.connect(controller);
  },
  // Cancel it: the controller then completes the connection with "unknown connection identifier"
  0x200e: (controller, _parameters, opcode) => {
    if (!controller.connecting) return send(controller, event(0x0e, 1, opcode & 0xff, opcode >> 8, 0x0c));
    const { address } = controller.connecting;
    controller.connecting = null;
    complete(controller, opcode);
    send(controller, connectionComplete(0x02, 0, 0, address, 0));
  },
  0x2013: (controller, _parameters, opcode) => status(controller, opcode),
};

export function connectionComplete(
  code: number,
  handle: number,
  role: number,
  peer: string,
  supervision: number,
): Buffer {
  const tens = supervision / 10;
  const peerBytes = macBytes(peer);
  const head = [0x01, code, handle & 0xff, handle >> 8, role, 0];
  return event(0x3e, ...head, ...peerBytes, 24, 0, 0, 0, tens & 0xff, tens >> 8, 0);
}
