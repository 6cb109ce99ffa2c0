import { readFileSync, readdirSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DecodeError, type Decoder, type Measurement } from '../../server/decoder/decoder.ts';
import { DECODERS, decoderFor } from '../../server/decoder/decoder-list.ts';
import { createPipeline } from '../../server/ingest/pipeline.ts';
import { describe as describeFrame } from '../../server/ingest/describe-frame.ts';
import type { Probe } from '../../shared/probe.ts';
import type { Frame } from '../../shared/recording.ts';
import { forAll } from '../support/property.ts';

/** Cases a property; a nightly run sets it to 100 000. */
const numRuns = Number(process.env['FUZZ_RUNS'] ?? 500);
const seed = 20260502;

const hexOf = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');
const bytes = fc.uint8Array({ maxLength: 40 }).map(hexOf);
const folder = new URL('../../fixtures/frames/', import.meta.url);
type Known = { frame: Frame; options?: Record<string, unknown> };
const known = readdirSync(folder).flatMap((file) => {
  const table = JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as {
    decoder: string;
    frames: Known[];
  }; // our own files
  return table.frames.map((frame) => ({ ...frame, decoder: table.decoder }));
});

/** Sound frames with a byte changed, cut off or put on: they go deeper than noise does. */
function damaged(text: string, at: number, byte: number, how: number): string {
  const list = [...Buffer.from(text, 'hex')];
  const place = list.length === 0 ? 0 : at % list.length;
  if (how === 0) list[place] = byte;
  else if (how === 1) list.splice(place);
  else list.splice(place, 0, byte);
  return Buffer.from(list).toString('hex');
}

const boardLine = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 80 }),
  fc
    .array(
      fc.oneof(
        fc.constantFrom(
          '=',
          ':',
          ',',
          ';',
          ' ',
          'stone',
          'dome',
          'cj',
          'nan',
          'open',
          '°C',
          'F',
          'mV',
          '{',
          '}',
          '[',
          '"',
          '-',
          '%',
        ),
        fc.double().map(String),
        fc.integer().map(String),
      ),
      { maxLength: 12 },
    )
    .map((parts) => parts.join('')),
  fc.json({ maxDepth: 4 }),
);

const frameFor = (decoder: Decoder): fc.Arbitrary<Known> => {
  const own = known.filter((each) => each.decoder === decoder.name);
  const mutated = fc
    .tuple(
      fc.constantFrom(...own),
      fc.nat(40),
      fc.nat(255),
      fc.nat(2),
      fc.oneof(bytes, fc.constant(null)),
      boardLine,
    )
    .map(([known, at, byte, how, noise, line]): Known => {
      const { frame } = known;
      if ('bytes' in frame && frame.bytes !== undefined)
        return { ...known, frame: { ...frame, bytes: noise ?? damaged(frame.bytes, at, byte, how) } };
      if ('line' in frame) return { ...known, frame: { ...frame, line } };
      if ('payload' in frame) return { ...known, frame: { ...frame, payload: line } };
      return known;
    });
  return mutated;
};

/** What holds of every measurement whatever came in. */
function isSound({ part, quantity, value, fault }: Measurement): boolean {
  if (value === null) return fault !== undefined && fault !== '';
  const isPossible = quantity !== 'celsius' || value >= -273.15;
  return Number.isFinite(value) && isPossible && typeof part === 'string';
}

describe.each(DECODERS.map((decoder) => ({ name: decoder.name, decoder })))('$name', ({ decoder }) => {
  it('answers damaged and random frames with sound measurements or a DecodeError', () => {
    forAll({ numRuns, seed }, frameFor(decoder), ({ frame, options = {} }) => {
      try {
        const measurements = decoder.decode(frame, options, {});
        expect(measurements.filter((measurement) => !isSound(measurement))).toEqual([]);
      } catch (error) {
        expect(error).toBeInstanceOf(DecodeError);
      }
    });
  });
});

/** Encodings that mean "no reading", whatever stands around them. */
const NOTHINGS: readonly [string, fc.Arbitrary<Frame>][] = [
  [
    'FLOAT with a special mantissa and any exponent',
    fc
      .tuple(
        fc.constantFrom(0, 1, 8, 9),
        fc.constantFrom('ffff7f', '000080', 'feff7f', '020080', '010080'),
        fc.nat(255),
      )
      .map(([flags, mantissa, exponent]) => ({
        t: 0,
        source: 'ble',
        device: 'd',
        characteristic: '2a1c',
        bytes: hexOf(Uint8Array.of(flags)) + mantissa + hexOf(Uint8Array.of(exponent)),
      })),
  ],
  [
    'sint16 0x8000',
    fc.nat(9).map((instance) => ({
      t: 0,
      source: 'ble',
      device: 'd',
      characteristic: '2a6e',
      instance,
      bytes: '0080',
    })),
  ],
  [
    'words on a line',
    fc
      .constantFrom(
        'nan',
        'NaN',
        '-nan',
        'inf',
        '---',
        'open',
        'OPEN',
        'short',
        'err',
        'null',
        'N/A',
        'fault',
        '1e999',
      )
      .map((word) => ({ t: 0, source: 'serial', port: 'p', line: `stone=${word}` })),
  ],
];

it.each(NOTHINGS)('%s never gives a number', (_, frames) => {
  forAll({ numRuns, seed }, frames, (frame) => {
    const values = decoderFor(frame)
      ?.decode(frame, {}, {})
      .map((each) => each.value);
    expect(values).toEqual([null]);
  });
});

it('the pipeline and describe throw at nothing, and readings are finite or null', () => {
  const probes: Probe[] = known.flatMap(({ frame, options, decoder }, i): Probe[] => {
    const base = { id: `p${i}`, channel: 'stone', decoder, ...(options && { options }) };
    const conversion = { kind: 'thermocouple', type: 'K', junction: 'cj' };
    if (frame.source === 'ble') {
      const { device, characteristic, advert } = frame;
      return [{ ...base, address: { source: 'ble', device, characteristic, advert } }];
    }
    if (frame.source !== 'serial') return [];
    return [{ ...base, address: { source: 'serial', port: frame.port }, ...(i % 2 === 0 && { conversion }) }];
  });
  const pipeline = createPipeline({ channels: [{ id: 'stone', role: 'stone' }], probes });
  const frames = fc.oneof(...DECODERS.map(frameFor));
  forAll({ numRuns, seed }, frames, fc.nat(10_000), ({ frame, options }, t) => {
    const { readings } = pipeline.frame({ ...frame, t });
    for (const { celsius, quality, reason } of readings) {
      expect(celsius === null || Number.isFinite(celsius)).toBe(true);
      expect((celsius === null) === (quality === 'bad')).toBe(true);
      expect(reason === undefined).toBe(quality === 'good');
    }
    expect(() => describeFrame(frame, { options })).not.toThrow();
  });
  expect(JSON.parse(JSON.stringify(pipeline.state))).toEqual(pipeline.state);
});
