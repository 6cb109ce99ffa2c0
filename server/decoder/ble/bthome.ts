import { createDecipheriv } from 'node:crypto';
import { z } from 'zod';
import type { BleLine } from '../../../shared/recording.ts';
import { fromHex, readerOf } from '../bytes.ts';
import { DecodeError, OptionsError, type Decoder, type Measurement, type Session } from '../decoder.ts';
import { optionsReader } from '../options.ts';
import { readObjects } from './bthome-objects.ts';
import { isAdvertOf } from './uuid.ts';

const ENCRYPTED_FLAG = 0x01;
/** Reserved by the present page; senders of an older draft put their address after the info byte. */
const ADDRESS_FLAG = 0x02;
const SUPPORTED_VERSION = 2;
const UUID_LITTLE_ENDIAN = [0xd2, 0xfc] as const;
/** Counter and tag behind the ciphertext. */
const COUNTER_BYTES = 4;
const TAG_BYTES = 4;
/** Ids that look older than the last by less than this many steps within this time are late repetitions. */
const LATE_REPEAT_STEPS = 64;
const LATE_REPEAT_SECONDS = 4;

const bthomeOptions = z.object({
  /** Key of an encrypted device, 16 bytes. */
  key: z
    .string()
    .regex(/^[0-9a-fA-F]{32}$/, 'the key is written as 32 hexadecimal digits')
    .optional(),
  /** Its address, where the system hides it and gives an identifier instead. */
  address: z
    .string()
    .regex(/^([0-9a-fA-F]{2}[:-]?){5}[0-9a-fA-F]{2}$/, 'an address is six pairs like 54:48:e6:8f:80:a5')
    .optional(),
});
const read = optionsReader(bthomeOptions);

/**
 * BTHome v2 (https://bthome.io/format, https://bthome.io/encryption): service data of UUID 0xFCD2,
 *
 *     0      info    bit 0: encrypted   bit 1: reserved   bit 2: sends on a trigger only   bits 5–7: version, 2
 *     1…     objects (bthome-objects.ts); encrypted: ciphertext, counter u32 LE, tag of 4 bytes
 *
 * AES-CCM, key of 16 bytes, no associated data, nonce = address ‖ D2 FC ‖ info ‖ counter. The session remembers the
 * packet id and the counter: an advertisement is received many times, and none may be replayed later.
 */
export const bthome: Decoder = {
  name: 'bthome',
  label: 'BTHome advertisement',
  options: bthomeOptions,
  matches: (frame) => isAdvertOf(frame, 'fcd2'),
  decode(frame, options, session): Measurement[] {
    if (frame.source !== 'ble') return [];
    const { key, address = frame.device } = read(options);
    const reader = readerOf(fromHex(frame.bytes));
    const info = reader.unsigned(1, 'device information');
    if (info >> 5 !== SUPPORTED_VERSION)
      throw new DecodeError(`it is of BTHome version ${info >> 5}, and 2 is read here`);
    if (info & ADDRESS_FLAG) reader.take(6, 'address');
    const body = reader.take(reader.left, 'objects');
    const objects = info & ENCRYPTED_FLAG ? decrypt(body, info, key, address, session) : plain(body, key);
    return objects ? unlessRepeated(objects, frame, session) : [];
  },
};

function plain(body: Uint8Array, key: string | undefined): Uint8Array {
  if (key === undefined) return body;
  throw new DecodeError(
    'it came in the clear although the device has a key: someone else may send in its name',
  );
}

/** @returns null for a packet that was received before */
function decrypt(
  body: Uint8Array,
  info: number,
  key: string | undefined,
  address: string,
  session: Session,
): Uint8Array | null {
  if (key === undefined) throw new OptionsError('it is encrypted: give its key on the probe page.');
  const mac = address.replaceAll(/[:-]/g, '');
  if (!/^[0-9a-fA-F]{12}$/.test(mac))
    throw new OptionsError(
      `it is encrypted with its address, and this system calls it "${address}": give its address.`,
    );
  if (body.length < COUNTER_BYTES + TAG_BYTES)
    throw new DecodeError('an encrypted advertisement has 9 bytes or more');
  const sealed = body.subarray(0, -COUNTER_BYTES - TAG_BYTES);
  const counterBytes = body.subarray(sealed.length, -TAG_BYTES);
  const counter = readerOf(counterBytes).unsigned(4, 'counter');
  const last = typeof session['counter'] === 'number' ? session['counter'] : -1;
  if (counter === last) return null;
  if (counter < last)
    throw new DecodeError(
      `its counter ran back from ${last} to ${counter}: it was recorded and played again, or its battery was changed (then save the probe anew)`,
    );
  const nonce = Uint8Array.from([...fromHex(mac), ...UUID_LITTLE_ENDIAN, info, ...counterBytes]);
  const opened = open(sealed, fromHex(key), nonce, body.subarray(-TAG_BYTES));
  session['counter'] = counter;
  return opened;
}

function open(sealed: Uint8Array, key: Uint8Array, nonce: Uint8Array, tag: Uint8Array): Uint8Array {
  const cipher = createDecipheriv('aes-128-ccm', key, nonce, { authTagLength: TAG_BYTES });
  cipher.setAuthTag(tag);
  try {
    const opened = cipher.update(sealed);
    cipher.final();
    return opened;
  } catch {
    throw new DecodeError('it does not open with the key that was given: check the key');
  }
}

function unlessRepeated(objects: Uint8Array, frame: BleLine, session: Session): Measurement[] {
  const { packet, measurements } = readObjects(readerOf(objects));
  if (packet === null) return measurements;
  const { packet: last, packetAt } = session;
  if (typeof last === 'number' && typeof packetAt === 'number') {
    const steps = (packet - last + 256) % 256;
    const isOlder = steps > 256 - LATE_REPEAT_STEPS && frame.t - packetAt < LATE_REPEAT_SECONDS;
    if (steps === 0 || isOlder) return [];
  }
  session['packet'] = packet;
  session['packetAt'] = frame.t;
  return measurements;
}
