import { describe, expect, it } from 'vitest';
import { contact, stoneFor } from '../../../server/evening/stone/contact-temperature.ts';
import { diffusivity, effusivity, MATERIAL_PROPERTIES } from '../../../server/evening/stone/materials.ts';

describe('contact temperature', () => {
  // Contact of two half-infinite bodies (textbook), worked by hand: dough 22 °C, e 900; stone at 250, 270, 300 °C.
  it.each([
    [1200, 152.3, 163.7, 180.9],
    [1400, 160.8, 173.0, 191.2],
    [1750, 172.6, 185.8, 205.6],
    [14_000, 236.2, 255.0, 283.2],
  ])('of a stone with e %d', (stone, ...want) => {
    const got = [250, 270, 300].map((celsius) => contact(celsius, { stone, dough: 900, doughC: 22 }));
    got.forEach((celsius, i) => expect(Math.abs(celsius - (want[i] ?? 0))).toBeLessThanOrEqual(0.051));
  });

  it('of equals is their mean: 270 and 22 → 146.0', () => {
    expect(contact(270, { stone: 900, dough: 900, doughC: 22 })).toBeCloseTo(146, 9);
  });

  // Varlamov, Glatz & Grasso 2018, as press reports of the paper give it: brick at 330 °C ≈ 210 °C, steel at 330 ≈ 300, at 230 ≈ 210.
  const floors = {
    brick: { k: 0.86, rho: 2500, c: 880 },
    steel: { k: 18, rho: 7900, c: 496 },
  };
  it.each([
    ['brick', 330, 208.4, 210],
    ['steel', 330, 300.4, 300],
    ['steel', 230, 209.9, 210],
  ] as const)('%s at %d °C touches at %d, published ≈ %d', (name, celsius, recomputed, published) => {
    // The paper's dough: λ 0.5, c 2250 and ρ 700 in the middle, whose effusivity is 887.
    const dough = effusivity({ k: 0.5, c: 2250, rho: 700 });
    const got = contact(celsius, { stone: effusivity(floors[name]), dough, doughC: 20 });
    expect(got).toBeCloseTo(recomputed, 0);
    expect(Math.abs(got - published)).toBeLessThan(4);
  });
});

it('steel, another material, that touches as a cordierite at 270 °C is about 197 °C', () => {
  const at = contact(270, { stone: 1749, dough: 887, doughC: 22 });
  expect(at).toBeCloseTo(186.5, 1);
  expect(stoneFor(at, { stone: 13_700, dough: 887, doughC: 22 })).toBeCloseTo(197, 0);
});

// Middles of published property ranges (from memory).
it.each([
  ['cordierite', 1749, 9.44e-7],
  ['fireclay', 1403, 5.08e-7],
] as const)('%s has e %d and α %d', (material, e, alpha) => {
  expect(effusivity(MATERIAL_PROPERTIES[material])).toBeCloseTo(e, -1);
  expect(diffusivity(MATERIAL_PROPERTIES[material]) / alpha).toBeCloseTo(1, 2);
});
