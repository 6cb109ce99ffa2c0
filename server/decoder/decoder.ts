import type { z } from 'zod';
import type { Frame } from '../../shared/recording.ts';

/**
 * What a decoded number is. Electrical and infrared ones go on to a conversion (server/conversion); °C needs none.
 * `junction` is the cold junction of a thermocouple, °C; `battery` is percent.
 */
export type Quantity = 'celsius' | 'millivolt' | 'ohm' | 'infrared' | 'junction' | 'battery';

/**
 * One number out of a frame. Three different nothings: `value: null` = the device reported "no value"
 * (`fault` says which), absent from the list = not in this frame, a thrown `DecodeError` = the frame is
 * damaged.
 */
export type Measurement = {
  /** Which of several values in a frame, stable from frame to frame: "", "2", "Stone". */
  part: string;
  quantity: Quantity;
  value: number | null;
  /** Why there is no value, or why it is doubtful, in words. */
  fault?: string;
  /** The device stands at the end of what it can say; the truth may be beyond. */
  clipped?: boolean;
  /** What the conversion must know of this very value: the surface of an infrared reading. */
  settings?: Record<string, unknown>;
  /** When the device says that it measured, by its own clock, whose zone nobody knows: "2026-07-04T18:30:05". */
  stamp?: string;
};

/** The frame is damaged; the message says where, with what was expected. */
export class DecodeError extends Error {
  override name = 'DecodeError';
}

/** The frame may be sound, but the probe's options for its decoder are wrong or lack something: says which. */
export class OptionsError extends DecodeError {
  override name = 'OptionsError';
}

/** What a decoder may remember of one device between frames (packet ids, counters); it owns the shape, plain JSON. */
export type Session = Record<string, unknown>;

/**
 * Port of a decoder: pure, no clock, no I/O, no log. `matches` looks at the frame's envelope only, never at its bytes.
 * `options` are the probe's own (a key, a mapping), unvalidated: the decoder validates them by its own zod schema.
 */
export interface Decoder {
  name: string;
  /** For the probe page and `scan`. */
  label: string;
  /** Shape of its options, where it has any. */
  options?: z.ZodObject;
  matches(frame: Frame): boolean;
  decode(frame: Frame, options: Record<string, unknown>, session: Session): Measurement[];
}
