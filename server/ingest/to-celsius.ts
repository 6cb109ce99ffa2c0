import { Fault } from '../../shared/fault.ts';
import type { Conversion, Probe } from '../../shared/probe.ts';
import type { Convert } from '../conversion/converter.ts';
import { converterOf, prepare } from '../conversion/converter-list.ts';
import type { Measurement } from '../decoder/decoder.ts';

type InCelsius = {
  celsius: number | null;
  fault?: string | undefined;
  doubt?: string | undefined;
  range?: readonly [number, number] | undefined;
};

/** Preparing checks the options by their schema, which is too dear for each reading. */
const prepared = new WeakMap<
  Conversion,
  { convert: Convert; range: readonly [number, number] | undefined }
>();

function preparedFor(conversion: Conversion): {
  convert: Convert;
  range: readonly [number, number] | undefined;
} {
  const known = prepared.get(conversion);
  if (known) return known;
  const { kind, ...options } = conversion;
  const made = { convert: prepare(conversion), range: converterOf(kind).range?.(options) };
  prepared.set(conversion, made);
  return made;
}

/** Thousandths are below any sensor here and keep sums like 24.3 + 0.1 readable. */
const tidy = (celsius: number): number => Math.round(celsius * 1000) / 1000;

/**
 * Measurement → °C by the probe's conversion and calibration.
 * @param junctionOf °C of the cold junction that a part names
 * @throws Fault `invalid` when a conversion is lacking or its options are wrong
 */
export function toCelsius(
  probe: Probe | null,
  measurement: Measurement,
  junctionOf: (part: string | undefined) => number | null,
): InCelsius {
  const { value, quantity, fault, settings } = measurement;
  if (value === null) return { celsius: null, fault };
  const conversion =
    quantity === 'infrared' ? { kind: 'emissivity', ...settings } : (probe?.conversion ?? null);
  if (!conversion) {
    if (quantity === 'celsius' || quantity === 'junction')
      return { celsius: calibrated(probe, value), doubt: fault };
    throw new Fault('invalid', `"${probe?.name ?? probe?.id}" sends ${UNIT[quantity]}: say of which sensor.`);
  }
  const { convert, range } = preparedFor(conversion);
  const part = typeof conversion['junction'] === 'string' ? conversion['junction'] : undefined;
  const converted = convert(value, junctionOf(part));
  if (converted.celsius === null) return { celsius: null, fault: converted.fault };
  return {
    celsius: tidy(calibrated(probe, converted.celsius)),
    doubt: converted.doubt ?? fault,
    range,
  };
}

const UNIT: Record<Measurement['quantity'], string> = {
  millivolt: 'millivolts',
  ohm: 'ohms',
  infrared: 'infrared readings',
  battery: 'a battery level',
  celsius: 'degrees',
  junction: 'degrees',
};

/** Corrected = gain · read + offset. */
function calibrated(probe: Probe | null, celsius: number): number {
  const calibration = probe?.calibration;
  return calibration ? tidy(calibration.gain * celsius + calibration.offset) : celsius;
}
