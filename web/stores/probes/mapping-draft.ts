import type { Mapping } from '../../../shared/mapping.ts';
import { NUMBER_LENGTHS, type NumberType, type UnitName } from '../../../shared/number.ts';
import type { DevicePart } from '../../../shared/api/devices.ts';
import { numberOf } from './device-words.ts';

/** A mapping while it is being built: numbers are text until they are asked for. Pure. */

export type DraftValue = {
  part: string;
  offset: number;
  type: NumberType;
  order: 'little' | 'big';
  scale: string;
  shift: string;
  unit: UnitName;
  /** Raw numbers apart by spaces or semicolons. */
  nothing: string;
};

export type Draft = {
  name: string;
  note: string;
  device: string;
  place: DevicePart | null;
  start: string;
  startAt: string;
  every: string;
  begins: string;
  values: DraftValue[];
  /** Which of the values is being built. */
  at: number;
};

export const freshValue = (part = ''): DraftValue => ({
  part,
  offset: 0,
  type: 's16',
  order: 'little',
  scale: '1',
  shift: '0',
  unit: 'C',
  nothing: '',
});

export const freshDraft = (device = ''): Draft => ({
  name: '',
  note: '',
  device,
  place: null,
  start: '',
  startAt: '',
  every: '',
  begins: '',
  values: [freshValue()],
  at: 0,
});

export const valueAt = ({ values, at }: Draft): DraftValue => values[at] ?? values[0] ?? freshValue();

export const withValue = (draft: Draft, patch: Partial<DraftValue>): Draft => ({
  ...draft,
  values: draft.values.map((value, i) => (i === draft.at ? { ...value, ...patch } : value)),
});

/** Bytes as pairs without anything between; null where they are none. */
export function hexOf(text: string): string | null {
  const digits = text.replaceAll(/0x|[\s,:-]/gi, '').toLowerCase();
  return /^([0-9a-f]{2})*$/.test(digits) ? digits : null;
}

/** Offsets of the bytes that a value is made of. */
export const bytesOf = ({ offset, type }: DraftValue): readonly [from: number, to: number] => [
  offset,
  offset + NUMBER_LENGTHS[type],
];

type Listen = NonNullable<Mapping['listen']>;

/** Where the mapping listens and what it says first; a sentence where something is wrong. */
export function listenOf({ place, start, startAt, every }: Draft): Listen | string {
  const bytes = hexOf(start);
  if (bytes === null) return 'The start command is bytes in hexadecimal, such as 01 ff.';
  const seconds = every.trim() === '' ? undefined : numberOf(every);
  if (seconds === null || (seconds !== undefined && (seconds < 0.2 || seconds > 3600)))
    return 'It is asked every 0.2 to 3600 seconds.';
  const { service, characteristic, advert } = place ?? {};
  return {
    ...(service !== undefined && { service }),
    ...(characteristic !== undefined && { characteristic }),
    ...(advert !== undefined && { advert }),
    ...(bytes !== '' && { start: bytes, ...(startAt !== '' && { startAt }) }),
    ...(seconds !== undefined && { every: seconds }),
  };
}

function valueOf(draft: DraftValue): Mapping['values'][number] | string {
  const [scale, shift] = [numberOf(draft.scale), numberOf(draft.shift)];
  const nothing = draft.nothing
    .split(/[;\s]+/)
    .filter(Boolean)
    .map(numberOf);
  if (scale === null || shift === null) return 'Scale and shift are numbers.';
  if (nothing.includes(null)) return 'What means “nothing plugged in” is one or several numbers.';
  const { part, offset, type, order, unit } = draft;
  const numbers = nothing.filter((number) => number !== null);
  return { part: part.trim(), offset, type, order, scale, shift, unit, nothing: numbers };
}

/** The mapping as a file has it, or what is wrong with it in a sentence. */
export function mappingOf(draft: Draft): Mapping | string {
  const listen = listenOf(draft);
  if (typeof listen === 'string') return listen;
  const begins = hexOf(draft.begins);
  if (begins === null) return 'What a frame begins with is bytes in hexadecimal.';
  const values = draft.values.map(valueOf);
  const wrong = values.find((value) => typeof value === 'string');
  if (wrong !== undefined) return wrong;
  const parts = draft.values.map((value) => value.part.trim());
  if (new Set(parts).size < parts.length) return 'Give each value a name of its own.';
  return {
    mapping: 1,
    name: draft.name.trim() || 'My thermometer',
    ...(draft.note.trim() && { note: draft.note.trim() }),
    listen,
    ...(begins !== '' && { begins }),
    values: values.filter((value) => typeof value !== 'string'),
  };
}
