import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { DecodeError, type Measurement } from '../../server/decoder/decoder.ts';
import { DECODERS, decoderFor } from '../../server/decoder/decoder-list.ts';
import type { Frame } from '../../shared/recording.ts';

/** One file a decoder: a frame in, measurements or the words of an error out, and where the figures are from. */
type Table = {
  decoder: string;
  source: string;
  frames: {
    name: string;
    frame: Frame;
    options?: Record<string, unknown>;
    measurements?: Measurement[];
    error?: string;
  }[];
};
const folder = new URL('../../fixtures/frames/', import.meta.url);
const tables = readdirSync(folder).map(
  (file) => JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as Table, // our own files
);

describe.each(tables)('$decoder, by $source', ({ decoder, frames }) => {
  it.each(frames)('$name', ({ frame, options = {}, measurements, error }) => {
    const found = decoderFor(frame, decoder);
    const decode = (): Measurement[] | undefined => found?.decode(frame, options, {});
    if (error === undefined) {
      expect(decode()).toEqual(measurements);
      return;
    }
    expect(decode).toThrow(DecodeError);
    expect(decode).toThrow(new RegExp(error));
  });
  it('is found by the envelope alone, or must be named', () => {
    for (const { frame } of frames) expect([decoder, null]).toContain(decoderFor(frame)?.name ?? null);
  });
});

it('has frames of every decoder', () => {
  const names = DECODERS.map((decoder) => decoder.name);
  expect(tables.map((table) => table.decoder).sort()).toEqual(names.toSorted());
  for (const { frames, source } of tables) {
    expect(frames.length).toBeGreaterThan(0);
    expect(source).not.toBe('');
  }
});
