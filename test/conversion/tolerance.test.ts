import { describe, expect, it } from 'vitest';
import { toleranceAt } from '../../server/conversion/tolerance.ts';

describe('tolerance classes', () => {
  // IEC 60584-2 as two independent pages reproduce it, IEC 60751 as a tolerance sheet does
  it.each([
    ['K class 1', 250, 1.5],
    ['K class 1', 300, 1.5],
    ['K class 1', 400, 1.6],
    ['K class 2', 300, 2.5],
    ['K class 2', 400, 3],
    ['N class 2', 270, 2.5],
    ['J class 1', 270, 1.5],
    ['T class 1', 250, 1.0],
    ['T class 1', 300, 1.2],
    ['T class 2', 250, 1.875],
    ['T class 2', 300, 2.25],
    ['Pt100 class A', -50, 0.25],
    ['Pt100 class A', 0, 0.15],
    ['Pt100 class A', 270, 0.69],
    ['Pt100 class A', 300, 0.75],
    ['Pt100 class B', 0, 0.3],
    ['Pt100 class B', 25, 0.425],
    ['Pt100 class B', 270, 1.65],
    ['Pt1000 class B', 300, 1.8],
    ['Pt100 class AA', 100, 0.27],
  ])('%s at %f °C is ±%f °C', (name, celsius, tolerance) => {
    expect(toleranceAt(name, celsius)).toBeCloseTo(tolerance, 9);
  });
  it('says nothing of what the class does not cover', () => {
    expect(toleranceAt('T class 1', 400)).toBeNull();
    expect(toleranceAt('K class 9', 270)).toBeNull();
  });
});
