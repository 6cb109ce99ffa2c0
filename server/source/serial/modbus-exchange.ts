import { crc16, readRequest } from '../../decoder/serial/modbus.ts';
import type { ModbusPoll } from '../subscription.ts';

export const requestFor = ({ unit, registers, first, count }: ModbusPoll): Uint8Array =>
  readRequest(unit, registers, first, count);

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
