import { describe, expect, it } from 'vitest';
import { draftOf } from '../../../../web/stores/probes/mapping-file.ts';
import { mapping } from '../../../../shared/mapping.ts';
import {
  bytesOf,
  freshDraft,
  freshValue,
  hexOf,
  mappingOf,
  withValue,
} from '../../../../web/stores/probes/mapping-draft.ts';

const built = {
  ...withValue(freshDraft('d0:0d:00:00:00:03'), {
    offset: 1,
    order: 'big',
    scale: '0,1',
    nothing: '32767; -1',
  }),
  name: 'Board of ours',
  place: { service: 'a3c80001b5e64c1e9c4f3d2e5f6a7b80', characteristic: 'a3c80002b5e64c1e9c4f3d2e5f6a7b80' },
  start: '0x01 ff',
  startAt: 'a3c80003b5e64c1e9c4f3d2e5f6a7b80',
  every: '2',
};

describe('a mapping while it is built', () => {
  it('becomes what the schema of mappings takes, and comes back from its file the same', () => {
    const made = mappingOf(built);
    const file = mapping.parse(made);
    expect(file).toEqual(made);
    expect(file.listen?.start).toBe('01ff');
    expect(file.values[0]).toMatchObject({ offset: 1, scale: 0.1, nothing: [32767, -1] });
    expect(mappingOf(draftOf(JSON.stringify(file), 'another'))).toEqual(made);
  });

  it('takes a file that leaves out what has a usual value', () => {
    const draft = draftOf('{"mapping":1,"name":"Short","values":[{"offset":2,"type":"float32"}]}', 'd');
    expect(mapping.parse(mappingOf(draft)).values[0]).toMatchObject({ order: 'little', scale: 1, unit: 'C' });
  });

  it.each(['', 'null', '[]', '{"mapping":2,"values":[]}', '{"mapping":1,"values":[{"type":"u7"}]}'])(
    'says of %j what is wrong with it',
    (text) => expect(() => draftOf(text, 'd')).toThrow(/mapping/),
  );

  it.each([
    [{ ...built, start: '0' }, /hexadecimal/],
    [{ ...built, every: '0' }, /seconds/],
    [{ ...built, begins: 'aaz' }, /hexadecimal/],
    [withValue(built, { scale: 'ten' }), /numbers/],
    [withValue(built, { nothing: 'none' }), /nothing plugged in/],
    [{ ...built, values: [freshValue(), freshValue()] }, /name of its own/],
  ])('says what is wrong instead of keeping it (%#)', (draft, words) => {
    expect(mappingOf(draft)).toMatch(words);
  });

  it('marks as many bytes as the type has', () => {
    expect(bytesOf({ ...freshValue(), offset: 3, type: 's24' })).toEqual([3, 6]);
    expect(bytesOf({ ...freshValue(), type: 'float64' })).toEqual([0, 8]);
  });

  it('reads bytes as people write them', () => {
    expect(hexOf('AA:0b 0x0C')).toBe('aa0b0c');
    expect(hexOf('abc')).toBeNull();
  });
});
