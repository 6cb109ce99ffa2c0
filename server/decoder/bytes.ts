import { DecodeError } from './decoder.ts';

/** @throws DecodeError when the text is not pairs of hexadecimal digits */
export function fromHex(text: string): Uint8Array {
  if (!/^(?:[0-9a-fA-F]{2})*$/.test(text)) throw new DecodeError('its bytes are not hexadecimal pairs');
  return Uint8Array.from({ length: text.length / 2 }, (_, i) =>
    Number.parseInt(text.slice(2 * i, 2 * i + 2), 16),
  );
}

export type ByteOrder = 'little' | 'big';

/** Bytes read from front to back. Every read says what it wants, so that a short frame says what is lacking. */
export type Reader = {
  readonly left: number;
  /** The next `length` bytes. @throws DecodeError when there are fewer */
  take(length: number, what: string): Uint8Array;
  unsigned(length: 1 | 2 | 3 | 4, what: string, order?: ByteOrder): number;
  signed(length: 1 | 2 | 3 | 4, what: string, order?: ByteOrder): number;
};

export function readerOf(bytes: Uint8Array): Reader {
  let at = 0;
  const take = (length: number, what: string): Uint8Array => {
    if (at + length > bytes.length)
      throw new DecodeError(
        `${what} wants ${length} bytes at offset ${at}, and ${bytes.length - at} are left`,
      );
    at += length;
    return bytes.subarray(at - length, at);
  };
  return {
    get left() {
      return bytes.length - at;
    },
    take,
    unsigned: (length, what, order = 'little') => unsignedOf(take(length, what), order),
    signed: (length, what, order = 'little') => signedOf(unsignedOf(take(length, what), order), length),
  };
}

export function unsignedOf(bytes: Uint8Array, order: ByteOrder): number {
  const mostFirst = order === 'big' ? bytes : bytes.toReversed();
  return mostFirst.reduce((sum, byte) => sum * 256 + byte, 0);
}

/** Two's complement of `length` bytes. */
export function signedOf(unsigned: number, length: number): number {
  const span = 256 ** length;
  return unsigned >= span / 2 ? unsigned - span : unsigned;
}
