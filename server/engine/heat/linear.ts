type Matrix = readonly (readonly number[])[];

export function dot(x: readonly number[], y: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += (x[i] ?? 0) * (y[i] ?? 0);
  return sum;
}

export const sumOfSquares = (x: readonly number[]): number => dot(x, x);

/** Lower triangular G with G·Gᵀ = A, A symmetric and positive definite. */
export function cholesky(A: Matrix): number[][] {
  const G: number[][] = [];
  for (let i = 0; i < A.length; i++) {
    const row: number[] = [];
    for (let j = 0; j <= i; j++) {
      let sum = A[i]?.[j] ?? 0;
      const above = j === i ? row : (G[j] ?? []);
      for (let k = 0; k < j; k++) sum -= (row[k] ?? 0) * (above[k] ?? 0);
      row.push(i === j ? Math.sqrt(Math.max(1e-12, sum)) : sum / (above[j] ?? 1));
    }
    G.push(row);
  }
  return G;
}

/** x of Gᵀ·x = y. */
function back(G: Matrix, y: readonly number[]): number[] {
  const x = [...y];
  for (let i = y.length - 1; i >= 0; i--) {
    let sum = y[i] ?? 0;
    for (let k = i + 1; k < y.length; k++) sum -= (G[k]?.[i] ?? 0) * (x[k] ?? 0);
    x[i] = sum / (G[i]?.[i] ?? 1);
  }
  return x;
}

/** x of G·Gᵀ·x = b. */
export function solve(G: Matrix, b: readonly number[]): number[] {
  const y: number[] = [];
  for (let i = 0; i < b.length; i++) {
    let sum = b[i] ?? 0;
    for (let k = 0; k < i; k++) sum -= (G[i]?.[k] ?? 0) * (y[k] ?? 0);
    y.push(sum / (G[i]?.[i] ?? 1));
  }
  return back(G, y);
}

/** Vectors whose outer products sum up to (G·Gᵀ)⁻¹: the columns of G⁻ᵀ. */
export const rootsOfInverse = (G: Matrix): number[][] =>
  G.map((_, j) =>
    back(
      G,
      G.map((__, i) => (i === j ? 1 : 0)),
    ),
  );
