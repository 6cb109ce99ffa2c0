import { describe, expect, it } from 'vitest';
import { SURFACES as TABLE } from '../../server/conversion/emissivity.ts';
import { setEmissivity, SURFACES } from '../../web/view/spot/surfaces.ts';

describe('the surfaces of a spot reading', () => {
  it('are names that the server knows', () => {
    const known = TABLE.map((surface) => surface.id);
    expect(SURFACES.map(([id]) => id).filter((id) => !known.includes(id))).toEqual([]);
  });
  it('come with an emissivity as typed, or the usual one', () => {
    expect(setEmissivity('0,9')).toBe(0.9);
    expect(setEmissivity('1')).toBe(1);
    for (const odd of ['', '0', '-1', '95', 'high']) expect(setEmissivity(odd)).toBe(0.95);
  });
});
