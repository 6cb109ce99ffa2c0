import type { TrendList } from '../../../shared/evening/plan.ts';
import { leastSquares } from '../../../shared/statistics/least-squares.ts';
import { differenceToFahrenheit, type Unit } from '../../../shared/units.ts';
import { studentQuantile } from '../student.ts';

/** Figures of one cook over the season; null where it has none. Minutes, seconds, grams, °C, share 0 to 1. */
export type Season = {
  /** What the cook is told by: its date or name. */
  label: string;
  leadMinutes: number | null;
  recoverySeconds: number | null;
  charcoalGrams: number | null;
  overshootC: number | null;
  rightShare: number | null;
};

type TrendName = Exclude<keyof Season, 'label'>;
/** `words` only where it is more than chance would have it (95 % by Student's t, 4 cooks at least). */
type Trend = TrendList['trends'][number];

const WORDS: Record<TrendName, { rises: string; falls: string; unit: string }> = {
  leadMinutes: { rises: 'The fire takes longer to be ready', falls: 'The fire is ready sooner', unit: 'min' },
  recoverySeconds: {
    rises: 'The stone takes longer to recover',
    falls: 'The stone recovers faster',
    unit: 's',
  },
  charcoalGrams: { rises: 'You burn more charcoal', falls: 'You burn less charcoal', unit: 'g' },
  overshootC: { rises: 'The stone overshoots more', falls: 'The stone overshoots less', unit: '°C' },
  rightShare: { rises: 'More pizzas come out right', falls: 'Fewer pizzas come out right', unit: '%' },
};
const MIN_COOKS = 4;

function trendOf(name: TrendName, cooks: readonly Season[], shown: Unit): Trend {
  const known = cooks.flatMap((cook, i) => {
    const value = cook[name];
    return value === null ? [] : [{ i, label: cook.label, value }];
  });
  const line = leastSquares(
    known.map(({ i }) => i),
    known.map(({ value }) => value),
  );
  const { rises, falls, unit } = WORDS[name];
  const sure =
    line?.slopeError != null &&
    known.length >= MIN_COOKS &&
    Math.abs(line.slope) > studentQuantile(0.975, known.length - 2) * line.slopeError &&
    line.slope !== 0;
  const inF = unit === '°C' && shown === 'F';
  const size = Math.abs(line?.slope ?? 0) * (unit === '%' ? 100 : 1);
  const by = Math.round((inF ? differenceToFahrenheit(size) : size) * 10) / 10;
  return {
    name,
    points: known.map(({ label, value }) => ({ label, value })),
    mean: known.reduce((sum, { value }) => sum + value, 0) / Math.max(1, known.length),
    perCook: line?.slope ?? null,
    error: line?.slopeError ?? null,
    words: sure
      ? `${line.slope > 0 ? rises : falls}: ${by} ${inF ? '°F' : unit} a cook over ${known.length} cooks.`
      : null,
  };
}

/** Trends over cooks, oldest first; one for each figure that at least one cook has. */
export const trends = (cooks: readonly Season[], unit: Unit = 'C'): Trend[] =>
  // The keys of a Record typed by TrendName are its names.
  (Object.keys(WORDS) as TrendName[])
    .map((name) => trendOf(name, cooks, unit))
    .filter(({ points }) => points.length > 0);
