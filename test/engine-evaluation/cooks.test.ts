import { expect, test } from 'vitest';
import { caseOf } from './case-bank.ts';
import { BANK_SIZE, bankCook } from './cooks.ts';

const all = Array.from({ length: BANK_SIZE }, (_, i) => bankCook(i));

test('the bank has sixty cooks or more, of every stone and every person', () => {
  expect(all.length).toBeGreaterThanOrEqual(60);
  const kinds = new Set(all.map(({ plan }) => plan.person.habit));
  expect([...kinds].sort()).toEqual(['careful', 'eager', 'late', 'never', 'set', 'starved']);
  const conductivities = new Set(all.map(({ plan }) => plan.grill.stone.material.k));
  expect(conductivities.size).toBeGreaterThanOrEqual(4);
  expect(all.filter(({ plan }) => plan.grill.stone.middle < 1).length).toBeGreaterThan(4);
  expect(all.filter(({ dome }) => dome === null).length).toBeGreaterThan(2);
});

test('bands are 24 to 40 °C wide, and lower on steel', () => {
  for (const { plan } of all) {
    const [low, high] = plan.person.band;
    expect(high - low).toBeGreaterThanOrEqual(24);
    expect(high - low).toBeLessThanOrEqual(40);
    const centre = (low + high) / 2;
    const isSteel = plan.grill.stone.material.k > 10;
    expect(centre).toBeGreaterThan(isSteel ? 200 : 250);
    expect(centre).toBeLessThan(isSteel ? 245 : 295);
  }
});

test('a cook of the bank is the same every time and carries readings only', () => {
  const bankCase = caseOf(bankCook(5));
  expect(JSON.stringify(caseOf(bankCook(5))) === JSON.stringify(bankCase)).toBe(true);
  expect(bankCase.lines.length).toBeGreaterThan(500);
  expect(bankCase.lines.every((line) => 'celsius' in line && !('event' in line))).toBe(true);
});
