/** Halvings bring 2000 °C to below 10⁻¹²; Newton's steps need about five. */
const MAX_STEPS = 60;
const CLOSE_ENOUGH = 1e-9;

/**
 * x in [low, high] where the rising function f reaches y, to 10⁻⁹: Newton's steps x − (f(x) − y)/f′(x), halving wherever
 * one would leave the bracket. f(low) ≤ y ≤ f(high) is the caller's to see to.
 */
export function invert(
  f: (x: number) => number,
  slope: (x: number) => number,
  y: number,
  low: number,
  high: number,
): number {
  let [a, b] = [low, high];
  let x = (a + b) / 2;
  for (let step = 0; step < MAX_STEPS; step++) {
    const excess = f(x) - y;
    if (excess > 0) b = x;
    else a = x;
    const newton = x - excess / slope(x);
    const next = newton > a && newton < b ? newton : (a + b) / 2;
    if (Math.abs(next - x) < CLOSE_ENOUGH) return next;
    x = next;
  }
  return x;
}
