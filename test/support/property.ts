import fc from 'fast-check';

/** A number in this range. */
export const real = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });

/** Checks the last argument on values of those before it. @throws with the smallest that fail */
export function forAll<Values extends [unknown, ...unknown[]]>(
  runs: fc.Parameters<Values>,
  ...made: [...{ [K in keyof Values]: fc.Arbitrary<Values[K]> }, (...values: Values) => boolean | void]
): void {
  fc.assert(fc.property(...made), runs);
}
