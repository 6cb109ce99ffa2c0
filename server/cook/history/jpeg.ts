import { Fault } from '../../../shared/fault.ts';
import { MAX_PHOTO_BYTES } from '../../../shared/evening/photo.ts';

/**
 * JPEG as far as it must be known to leave out what tells of place, time and device. Markers and segments: ITU-T T.81
 * (09/92), annex B; from memory.
 */

const [SOI, EOI, SOS, COM] = [0xd8, 0xd9, 0xda, 0xfe];
const isApplication = (marker: number): boolean => marker >= 0xe0 && marker <= 0xef;
const isRestart = (marker: number): boolean => marker >= 0xd0 && marker <= 0xd7;
/** Start of frame, but for the three codes in its range that are something else. */
const isFrame = (marker: number): boolean =>
  marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
/** A picture larger than this would fill a small computer's memory when it is drawn, pixels a side. */
const MAX_PIXELS = 4096;

/**
 * The same picture without application data (EXIF with it), comments, and whatever follows its end.
 * @throws Fault `invalid` where it is no whole JPEG, `too-large` where it is larger than a photo is
 */
export function plainJpeg(bytes: Uint8Array): Uint8Array {
  if (bytes[0] !== 0xff || bytes[1] !== SOI) throw wrong('it does not begin as a JPEG does');
  const parts: Uint8Array[] = [bytes.subarray(0, 2)];
  let hasFrame = false;
  for (let at = 2; ;) {
    const { marker, end } = segmentAt(bytes, at);
    if (marker === EOI) {
      parts.push(bytes.subarray(at, at + 2));
      break;
    }
    if (isFrame(marker)) {
      checkSize(bytes, at);
      hasFrame = true;
    }
    const past = marker === SOS ? endOfScan(bytes, end) : end;
    if (!isApplication(marker) && marker !== COM) parts.push(bytes.subarray(at, past));
    at = past;
  }
  if (!hasFrame) throw wrong('there is no picture in it');
  const plain = Buffer.concat(parts);
  if (plain.length > MAX_PHOTO_BYTES)
    throw new Fault('too-large', `A photo is at most ${MAX_PHOTO_BYTES / 1024} kB: make it smaller.`);
  return plain;
}

const wrong = (why: string): Fault => new Fault('invalid', `That is no JPEG (${why}): take another photo.`);

function segmentAt(bytes: Uint8Array, at: number): { marker: number; end: number } {
  const marker = bytes[at + 1];
  if (bytes[at] !== 0xff || marker === undefined) throw wrong('it is cut off or damaged');
  if (marker === EOI) return { marker, end: at + 2 };
  const length = ((bytes[at + 2] ?? 0) << 8) | (bytes[at + 3] ?? 0);
  const end = at + 2 + length;
  if (length < 2 || end > bytes.length) throw wrong('it is cut off or damaged');
  return { marker, end };
}

/** Compressed data goes on until a marker that is no restart; 0xFF 0x00 is a plain 0xFF there. */
function endOfScan(bytes: Uint8Array, from: number): number {
  for (let at = from; at + 1 < bytes.length; at++) {
    const next = bytes[at + 1] ?? 0;
    if (bytes[at] === 0xff && next !== 0 && next !== 0xff && !isRestart(next)) return at;
  }
  throw wrong('it is cut off');
}

function checkSize(bytes: Uint8Array, at: number): void {
  const two = (place: number): number => ((bytes[at + place] ?? 0) << 8) | (bytes[at + place + 1] ?? 0);
  const [height, width] = [two(5), two(7)];
  if (height < 1 || width < 1 || height > MAX_PIXELS || width > MAX_PIXELS)
    throw wrong(`a side of it is not between 1 and ${MAX_PIXELS} pixels`);
}
