import { describe, expect, it } from 'vitest';
import {
  contact,
  equalBakeBand,
  equalBakeText,
  heatPerArea,
  secondsForHeat,
  stoneFor,
} from '../../../server/evening/stone/contact.ts';
import { diffusivity, effusivity, PROPERTIES } from '../../../server/evening/stone/materials.ts';

describe('contact temperature', () => {
  // Handbook section 7: dough 22 °C, e 900; stone at 250, 270, 300 °C.
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

  // Varlamov, Glatz & Grasso 2018, as the handbook reports it: brick at 330 °C ≈ 210 °C, steel at 330 ≈ 300, at 230 ≈ 210.
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

describe('equal heat (Varlamov, Glatz & Grasso 2018, handbook section 7)', () => {
  const brick = { lambda: 0.86, chi: 4.0e-7, nu: 0.65 };
  const steel = { lambda: 18, chi: 4.5e-6, nu: 0.1 };

  it('brick at 330 °C gives 2.821 MJ/m² in 120 s', () => {
    expect(heatPerArea(330, 120, brick) / 1e6).toBeCloseTo(2.821, 2);
  });

  it('steel at 230 °C takes 170.7 s for what brick at 330 °C gives in 120 s; published 170 s', () => {
    expect(secondsForHeat(heatPerArea(330, 120, brick), 230, steel)).toBeCloseTo(170.7, 0);
  });

  it('brick at 390 °C gives 2.07 MJ/m² in 50 s', () => {
    expect(heatPerArea(390, 50, brick) / 1e6).toBeCloseTo(2.07, 2);
  });
});

describe('another material', () => {
  it('steel that touches as a cordierite at 270 °C is about 197 °C (handbook section 7)', () => {
    const at = contact(270, { stone: 1749, dough: 887, doughC: 22 });
    expect(at).toBeCloseTo(186.5, 1);
    expect(stoneFor(at, { stone: 13_700, dough: 887, doughC: 22 })).toBeCloseTo(197, 0);
  });

  it('says how low a steel must be, and that the top gets less', () => {
    const [low, high] = equalBakeBand([255, 285], 'cordierite', 'steel');
    expect(low).toBeGreaterThan(180);
    expect(high).toBeLessThan(215);
    expect(equalBakeText([255, 285], 'cordierite', 'steel')).toContain(
      `${Math.round(low)} to ${Math.round(high)} °C`,
    );
  });

  it('of itself is the same band', () => {
    const [low, high] = equalBakeBand([255, 285], 'fireclay', 'fireclay');
    expect([low, high].map((each) => Number(each.toFixed(9)))).toEqual([255, 285]);
  });
});

// Handbook section 7, middles.
it.each([
  ['cordierite', 1749, 9.44e-7],
  ['fireclay', 1403, 5.08e-7],
] as const)('%s has e %d and α %d', (material, e, alpha) => {
  expect(effusivity(PROPERTIES[material])).toBeCloseTo(e, -1);
  expect(diffusivity(PROPERTIES[material]) / alpha).toBeCloseTo(1, 2);
});
