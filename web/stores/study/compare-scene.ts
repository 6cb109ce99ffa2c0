import type { Unit } from '../../../shared/units.ts';
import { inUnit, MINUS } from '../../lib/format.ts';
import type { Cell, Curve, Scene } from '../../lib/plot/plot-scene.ts';
import { DASH_PATTERNS } from '../../lib/plot/dashes.ts';
import { paintBands, type NamedBand } from '../../lib/plot/paint-bands.ts';
import type { Placed } from '../overlay.ts';
import { timeTicks, type Range } from '../derive/curve/zoom.ts';

/** What plots of several cooks show. Pure. */

export const letterOf = (place: number): string => 'ABCDEF'.charAt(place);

/** "255–285°" */
export const bandText = ([low, high]: readonly [number, number], unit: Unit): string =>
  `${Math.round(inUnit(low, unit))}–${Math.round(inUnit(high, unit))}°`;

/** The bands of the cooks, each once, in the person's unit: "A, C band 255–285°", "B band 200–232°". */
export function bandsOf(placed: readonly Placed[], unit: Unit): NamedBand[] {
  const found: { letters: string[]; band: readonly [number, number]; place: number }[] = [];
  placed.forEach(({ cook }, place) => {
    const [low, high] = cook.targets.stone;
    const same = found.find(({ band }) => band[0] === low && band[1] === high);
    if (same) same.letters.push(letterOf(place));
    else found.push({ letters: [letterOf(place)], band: [low, high], place });
  });
  return found.map(({ letters, band: [low, high], place }) => ({
    name: found.length === 1 ? 'band' : `${letters.join(', ')} band`,
    band: [inUnit(low, unit), inUnit(high, unit)],
    place,
  }));
}

/** "−30", "+0:45": minutes from where the cooks meet. */
export function writeMinutes(t: number): string {
  const seconds = Math.round(Math.abs(t));
  const rest = seconds % 60;
  const text = `${Math.floor(seconds / 60)}${rest ? `:${String(rest).padStart(2, '0')}` : ''}`;
  return seconds === 0 ? '0' : (t < 0 ? MINUS : '+') + text;
}

export function compareScene(placed: readonly Placed[], unit: Unit, range: Range, width: number): Scene {
  const times = [...new Set(placed.flatMap(({ stone }) => stone.map(([t]) => t)))].sort((a, b) => a - b);
  const rows = new Map(times.map((t, row) => [t, row]));
  const curves = placed.map(({ cook, stone }, i): Curve => {
    const values: Cell[] = Array.from({ length: times.length });
    for (const [t, celsius] of stone) values[rows.get(t) ?? 0] = inUnit(celsius, unit);
    return {
      id: String(cook.id),
      role: i === 0 ? 'stone' : 'other',
      name: letterOf(i),
      values,
      doubtful: [],
      dash: DASH_PATTERNS[i] ?? [],
    };
  });
  const shown = placed.flatMap(({ stone }) =>
    stone.filter(([t]) => t >= range.from && t <= range.to).map(([, celsius]) => inUnit(celsius, unit)),
  );
  const [band, ...others] = bandsOf(placed, unit);
  return {
    ...range,
    low: shown.reduce((a, b) => Math.min(a, b), Infinity),
    high: shown.reduce((a, b) => Math.max(a, b), -Infinity),
    times,
    curves,
    forecast: [],
    band: band?.band ?? null,
    ...(band && { bandName: band.name }),
    over: (pen) => paintBands(pen, others),
    now: null,
    bars: [],
    glyphs: [],
    lids: [],
    lanes: [],
    ticks: timeTicks(range, Math.max(2, Math.floor(width / 90)), 0),
    write: writeMinutes,
  };
}

/** Beside the figure of a season: the axis at its left and the air at its right, CSS pixels; and a date with air. */
const SEASON_MARGIN_PX = 80;
const DATE_WIDTH_PX = 100;

/** One figure from cook to cook: dots on a line, each over its cook's date. @param unit what stands behind a value */
export function seasonScene(
  points: readonly { label: string; value: number }[],
  unit: string,
  width: number,
): Scene {
  const values = points.map(({ value }) => value);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const air = Math.max(1, (high - low) * 0.15);
  const every = Math.max(
    1,
    Math.ceil(points.length / Math.max(1, Math.floor((width - SEASON_MARGIN_PX) / DATE_WIDTH_PX))),
  );
  return {
    from: -0.4,
    to: Math.max(0.4, points.length - 0.6),
    low: Math.max(Math.min(0, low), low - air),
    high: high + air,
    times: values.map((_, i) => i),
    curves: [{ id: 'figure', role: 'dome', name: '', values, doubtful: values }],
    forecast: [],
    band: null,
    now: null,
    bars: [],
    glyphs: [],
    lids: [],
    lanes: [],
    ticks: values.flatMap((_, i) => (i % every === 0 ? [i] : [])),
    write: (i) => points[i]?.label ?? '',
    unit,
  };
}

/** "+12°", of one value against another. */
export const differenceOf = (celsius: number | null, first: number | null, unit: Unit): string => {
  if (celsius === null || first === null) return '';
  const by = Math.round(inUnit(celsius, unit) - inUnit(first, unit));
  return by === 0 ? '±0°' : `${by < 0 ? MINUS : '+'}${Math.abs(by)}°`;
};
