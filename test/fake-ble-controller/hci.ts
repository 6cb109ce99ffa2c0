/** HCI packets as they go over the socket (Core Specification, Vol 4 Part E 5.4). */
export const COMMAND = 0x01;
export const ACL = 0x02;
const EVENT = 0x04;

export const event = (code: number, ...parameters: number[]): Buffer =>
  Buffer.from([EVENT, code, parameters.length, ...parameters]);

export const command = (packet: Buffer): { opcode: number; parameters: Buffer } => ({
  opcode: packet.readUInt16LE(1),
  parameters: packet.subarray(4),
});

/** Six bytes as they go over the wire, last one first. */
export const macBytes = (address: string): number[] =>
  address
    .split(':')
    .reverse()
    .map((pair) => Number.parseInt(pair, 16));

/** 0 connectable, 3 not connectable, 4 scan response */
export function advertisingReport(type: number, address: string, data: Buffer, rssi: number): Buffer {
  return event(0x3e, 0x02, 1, type, 0, ...macBytes(address), data.length, ...data, 256 + rssi);
}

export function acl(handle: number, first: boolean, data: Buffer): Buffer {
  const head = Buffer.alloc(5);
  head[0] = ACL;
  head.writeUInt16LE(handle | ((first ? 0x2 : 0x1) << 12), 1);
  head.writeUInt16LE(data.length, 3);
  return Buffer.concat([head, data]);
}

/** An L2CAP packet of the attribute protocol (channel 4). */
export function l2cap(payload: Buffer): Buffer {
  const head = Buffer.alloc(4);
  head.writeUInt16LE(payload.length, 0);
  head.writeUInt16LE(4, 2);
  return Buffer.concat([head, payload]);
}
