import { cumulativeStdNormalProbability } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { studentBelow, studentQuantile } from '../../server/evening/student.ts';

describe("Student's t", () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, critical values of Student's t.
  it.each([
    [1, 3.078, 12.706],
    [2, 1.886, 4.303],
    [3, 1.638, 3.182],
    [4, 1.533, 2.776],
    [5, 1.476, 2.571],
    [10, 1.372, 2.228],
    [30, 1.31, 2.042],
    [100, 1.29, 1.984],
  ])('of %i degrees of freedom has the published 0.90 and 0.975 quantiles', (nu, p90, p975) => {
    expect(studentQuantile(0.9, nu)).toBeCloseTo(p90, 3);
    expect(studentQuantile(0.975, nu)).toBeCloseTo(p975, 3);
  });

  it('is even about 0 and goes over to the normal distribution', () => {
    expect(studentBelow(-1.2, 7) + studentBelow(1.2, 7)).toBeCloseTo(1, 12);
    expect(studentBelow(0, 5)).toBe(0.5);
    expect(studentBelow(1.3, 2000)).toBeCloseTo(cumulativeStdNormalProbability(1.3), 3);
  });
});
