import type { ModbusPoll } from '../want.ts';

/** CRC-16/MODBUS: polynomial 0xA001 reflected, start 0xFFFF; over a frame with its CRC it is 0 (handbook 5). */
export function crc16(bytes: Uint8Array): number {
  let crc = 0xffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1;
  }
  return crc;
}

/** `unit function first(u16) count(u16) crc(low, high)`: read input (0x04) or holding (0x03) registers. */
export function requestFor({ unit, registers, first, count }: ModbusPoll): Buffer {
  const frame = Buffer.alloc(8);
  frame[0] = unit;
  frame[1] = registers === 'input' ? 0x04 : 0x03;
  frame.writeUInt16BE(first, 2);
  frame.writeUInt16BE(count, 4);
  frame.writeUInt16LE(crc16(frame.subarray(0, 6)), 6);
  return frame;
}

/** Bytes that a whole reply has, as far as its beginning tells; null while it does not yet. */
export function replyLength(bytes: Uint8Array): number | null {
  const [, code, count] = bytes;
  if (code === undefined || count === undefined) return null;
  return code & 0x80 ? 5 : 3 + count + 2;
}

export type Exchange = {
  /** @returns the reply once it is whole, as it came */
  push(bytes: Uint8Array): Uint8Array | null;
};

/** One request and what comes back. Adapters without echo suppression give the request back first. */
export function createExchange(request: Uint8Array): Exchange {
  let held = Buffer.alloc(0);
  const isEcho = (): boolean =>
    held.length >= request.length && held.subarray(0, request.length).equals(request);
  return {
    push(bytes) {
      held = Buffer.concat([held, bytes]).subarray(0, 1024);
      if (isEcho()) held = held.subarray(request.length);
      const length = replyLength(held);
      if (length === null || held.length < length) return null;
      // What only looks like a reply because it is the beginning of the echo has a wrong sum.
      if (held.length < request.length && crc16(held.subarray(0, length)) !== 0) return null;
      return held.subarray(0, length);
    },
  };
}
