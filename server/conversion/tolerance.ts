/** Tolerance of a new sensor of a class: the larger of `flat` and `part` of |t|, or their sum, °C. */
type ToleranceClass = { name: string; flat: number; part: number; sum: boolean; from: number; to: number };

const largerOf = (name: string, flat: number, part: number, from: number, to: number): ToleranceClass => ({
  name,
  flat,
  part,
  sum: false,
  from,
  to,
});
const sumOf = (name: string, flat: number, part: number, from: number, to: number): ToleranceClass => ({
  name,
  flat,
  part,
  sum: true,
  from,
  to,
});

/**
 * IEC 60584-1 (couples, unused wire: the larger of two) and IEC 60751 (platinum: the sum), as reproductions of both
 * quote them; the ranges of platinum are those for wire-wound elements, recalled.
 */
export const TOLERANCE_CLASSES: readonly ToleranceClass[] = [
  largerOf('K class 1', 1.5, 0.004, -40, 1000),
  largerOf('K class 2', 2.5, 0.0075, -40, 1200),
  largerOf('N class 1', 1.5, 0.004, -40, 1000),
  largerOf('N class 2', 2.5, 0.0075, -40, 1200),
  largerOf('J class 1', 1.5, 0.004, -40, 750),
  largerOf('J class 2', 2.5, 0.0075, -40, 750),
  largerOf('T class 1', 0.5, 0.004, -40, 350),
  largerOf('T class 2', 1, 0.0075, -40, 350),
  ...['Pt100', 'Pt1000'].flatMap((element) => [
    sumOf(`${element} class AA`, 0.1, 0.0017, -50, 250),
    sumOf(`${element} class A`, 0.15, 0.002, -100, 450),
    sumOf(`${element} class B`, 0.3, 0.005, -196, 600),
  ]),
];

/** ±°C of a class at a temperature; null for a class that is not known, or beyond what the class covers. */
export function toleranceAt(name: string, celsius: number): number | null {
  const found = TOLERANCE_CLASSES.find(
    (toleranceClass) => toleranceClass.name.toLowerCase() === name.trim().toLowerCase(),
  );
  if (!found || celsius < found.from || celsius > found.to) return null;
  const grown = found.part * Math.abs(celsius);
  return found.sum ? found.flat + grown : Math.max(found.flat, grown);
}
