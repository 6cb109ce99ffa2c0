/** A figure as people read it: at most `digits` decimals, none where it is whole. */
export const figure = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));

/** The value from `low` to `high` at which `work`, which grows with it, comes to `want`; an end where none does. To `near`. */
export function solve(
  work: (at: number) => number,
  want: number,
  [low, high]: readonly [number, number],
  near = 0.005,
): number {
  if (work(high) <= want) return high;
  let [below, above] = [low, high];
  while (above - below > near) {
    const middle = (below + above) / 2;
    if (work(middle) < want) below = middle;
    else above = middle;
  }
  return (below + above) / 2;
}
