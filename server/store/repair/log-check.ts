import { fstatSync, readSync } from 'node:fs';

/** Lengths and places in the log, bytes (sqlite.org/fileformat2.html#the_write_ahead_log, 4.1 to 4.4). */
const [LOG_HEADER, FRAME_HEADER] = [32, 24];
const BIG_ENDIAN_SUMS = 0x377f0683;
const [MAGIC_AT, PAGE_SIZE_AT, HEADER_SUM_AT, FRAME_SUM_AT] = [0, 8, 24, 16];
/** The place of the number of the last frame (mxFrame), of 32 bits in the machine's own order, in the index (sqlite.org/walformat.html, 2.1). */
const LAST_FRAME_AT = 16;
const INDEX_HEADER = 48;

/**
 * @param log the log, open to read @param index its index, open to read
 * @returns whether all frames that the index counts are as SQLite wrote them, by their running checksum
 */
export function isLogWhole(log: number, index: number): boolean {
  for (;;) {
    const before = indexHeader(index);
    if (isWholeUpTo(log, lastFrame(before))) return true;
    // Another process may have begun the log anew meanwhile.
    if (before.equals(indexHeader(index))) return false;
  }
}

function indexHeader(index: number): Buffer {
  const bytes = Buffer.alloc(INDEX_HEADER);
  readSync(index, bytes, 0, INDEX_HEADER, 0);
  return bytes;
}
const lastFrame = (header: Buffer): number =>
  new Uint32Array(Uint8Array.from(header).buffer)[LAST_FRAME_AT / 4] ?? 0;

function isWholeUpTo(log: number, frames: number): boolean {
  if (frames === 0) return true;
  const header = Buffer.alloc(LOG_HEADER);
  if (readSync(log, header, 0, LOG_HEADER, 0) < LOG_HEADER) return false;
  const isBig = header.readUInt32BE(MAGIC_AT) === BIG_ENDIAN_SUMS;
  const pageSize = header.readUInt32BE(PAGE_SIZE_AT);
  const frameSize = FRAME_HEADER + pageSize;
  if (fstatSync(log).size < LOG_HEADER + frames * frameSize) return false;
  let sums = checksum(header, 0, HEADER_SUM_AT, isBig, [0, 0]);
  if (!isSum(header, HEADER_SUM_AT, sums)) return false;
  const frame = Buffer.alloc(frameSize);
  for (let i = 0; i < frames; i++) {
    readSync(log, frame, 0, frameSize, LOG_HEADER + i * frameSize);
    sums = checksum(frame, 0, 8, isBig, sums);
    sums = checksum(frame, FRAME_HEADER, frameSize, isBig, sums);
    if (!isSum(frame, FRAME_SUM_AT, sums)) return false;
  }
  return true;
}

type Sums = readonly [number, number];
const isSum = (bytes: Buffer, at: number, [first, second]: Sums): boolean =>
  bytes.readUInt32BE(at) === first && bytes.readUInt32BE(at + 4) === second;

/** Fibonacci-weighted, over words of 32 bits (sqlite.org/fileformat2.html#checksum_algorithm). */
function checksum(bytes: Buffer, from: number, to: number, isBig: boolean, [first, second]: Sums): Sums {
  const words = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  for (let at = from; at < to; at += 8) {
    first = (first + words.getUint32(at, !isBig) + second) >>> 0;
    second = (second + words.getUint32(at + 4, !isBig) + first) >>> 0;
  }
  return [first, second];
}
