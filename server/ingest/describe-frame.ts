import { messageOf } from '../../shared/fault.ts';
import type { Probe } from '../../shared/probe.ts';
import type { Frame } from '../../shared/recording.ts';
import type { Measurement } from '../decoder/decoder.ts';
import { decoderFor } from '../decoder/decoder-list.ts';
import { propose, type Proposal } from '../decoder/serial/propose.ts';
import { textOptions } from '../decoder/serial/serial-text.ts';
import { toCelsius } from './to-celsius.ts';

/** One value of a frame, whether or not a probe maps it. */
type DescribedValue = Measurement & {
  /** null where there is no value, or a raw value has no conversion. */
  celsius: number | null;
};
export type Described = {
  /** Name of the decoder that read it; null where none does: a mapping may. */
  decoder: string | null;
  label: string;
  values: DescribedValue[];
  /** Why it could not be read, in words. */
  problem?: string;
};

/** What of a probe bears on the meaning of bytes; its address does not. */
export type Reads = Pick<Probe, 'decoder' | 'options' | 'conversion' | 'calibration'>;

/**
 * All that a frame says, for `scan` and the probe page: nothing is remembered from frame to frame, so that repeated
 * packets are told too. Never throws.
 * @param reads how it is to be read; without it by the first decoder that can
 */
export function describe(frame: Frame, reads: Reads = {}): Described {
  const decoder = decoderFor(frame, reads.decoder);
  if (!decoder) return { decoder: null, label: 'Bytes that nothing here reads', values: [] };
  const found: Described = { decoder: decoder.name, label: decoder.label, values: [] };
  try {
    const measurements = decoder.decode(frame, reads.options ?? {}, {});
    found.values = measurements.map((measurement) => ({
      ...measurement,
      celsius: celsiusOf(measurement, measurements, reads),
    }));
  } catch (error) {
    found.problem = messageOf(error);
  }
  return found;
}

function celsiusOf(measurement: Measurement, all: readonly Measurement[], reads: Reads): number | null {
  const { conversion } = reads;
  const isRaw = measurement.quantity === 'millivolt' || measurement.quantity === 'ohm';
  if (measurement.quantity === 'battery' || (isRaw && !conversion)) return null;
  const isJunction = measurement.quantity === 'junction' || measurement.part === conversion?.['junction'];
  const probe: Probe = {
    id: 'described',
    channel: null,
    address: { source: 'http', channel: 'described' },
    ...reads,
    conversion: isJunction ? undefined : conversion,
  };
  return toCelsius(probe, measurement, (part) => junctionIn(all, part)).celsius;
}

function junctionIn(all: readonly Measurement[], part: string | undefined): number | null {
  const junction = all.find((each) =>
    part === undefined ? each.quantity === 'junction' : each.part === part,
  );
  return junction?.value ?? null;
}

/** What the lines of a port seem to be. Never throws: options that are wrong are left aside. */
export const describeLines = (lines: readonly string[], options: Record<string, unknown> = {}): Proposal =>
  propose(lines, textOptions.safeParse(options).success ? options : {});
