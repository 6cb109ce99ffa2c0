import { mapping, type Mapping } from '../../../shared/mapping.ts';
import { writeNumber } from './device-words.ts';
import { freshDraft, type Draft, type DraftValue } from './mapping-draft.ts';

/** A mapping's file → a draft. @throws Error with a sentence where it is no mapping */
export function draftOf(text: string, device: string): Draft {
  const { name, note = '', listen = {}, begins = '', values } = parse(text);
  const { service, characteristic, advert, start = '', startAt = '', every } = listen;
  const isSomewhere = characteristic !== undefined || advert !== undefined;
  return {
    ...freshDraft(device),
    name,
    note,
    place: isSomewhere ? { service, characteristic, advert } : null,
    start,
    startAt,
    every: writeNumber(every),
    begins,
    values: values.map(draftValueOf),
  };
}

function parse(text: string): Mapping {
  try {
    return mapping.parse(JSON.parse(text));
  } catch {
    throw new Error('That file is no mapping: it should hold {"mapping":1,"name":…,"values":[…]}.');
  }
}

const draftValueOf = ({ scale, shift, nothing, ...value }: Mapping['values'][number]): DraftValue => ({
  ...value,
  scale: writeNumber(scale),
  shift: writeNumber(shift),
  nothing: nothing.join(' '),
});
