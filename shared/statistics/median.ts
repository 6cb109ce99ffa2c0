/** The middle of the values that are known, of an even number the mean of both; null where none is. */
export function medianOf(values: readonly (number | null)[]): number | null {
  const known = values.filter((each) => each !== null).sort((a, b) => a - b);
  const [low, high] = [known[(known.length - 1) >> 1], known[known.length >> 1]];
  return low === undefined || high === undefined ? null : (low + high) / 2;
}
