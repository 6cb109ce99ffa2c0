import { Fault } from '../../shared/fault.ts';
import type { Calibration } from '../../shared/probe.ts';
import { boilingPoint, standardPressure, stationPressure } from './boiling.ts';

/** A calibration, and what it is worth: ±°C at the temperature of a stone. */
export type Calibrated = Calibration & { how: string; worth: number | null };

/** Where a stone bakes, °C. */
export const STONE_CELSIUS = 270;
/** Crushed ice and water, stirred: good to about this, °C (common practice). */
const ICE_POINT_ERROR_CELSIUS = 0.1;
/** Weather moves the boiling point by this much about what altitude alone says, °C (from memory). */
const WEATHER_ERROR_CELSIUS = 0.8;
/** With a pressure that was read, ±2 hPa · 0.0275 °C/hPa. */
const PRESSURE_ERROR_CELSIUS = 0.06;
/** What a person can read off a display, °C. */
const DISPLAY_RESOLUTION_CELSIUS = 0.1;

const round = (value: number, digits: number): number => Math.round(value * 10 ** digits) / 10 ** digits;
const degrees = (value: number): string => value.toFixed(1);

/** @throws Fault `invalid` when no honest sensor is that far off */
function checked(offset: number, gain: number): { offset: number; gain: number } {
  if (!(Math.abs(offset) <= 100 && gain >= 0.5 && gain <= 2))
    throw new Fault(
      'invalid',
      `That would be a correction by ${degrees(offset)} °C and a factor of ${gain.toFixed(2)}: check that the right probe was in the right place.`,
    );
  return { offset: round(offset, 4), gain: round(gain, 6) };
}

/** One temperature known: everything is shifted. */
export function byOffset(read: number, truth: number): Calibrated {
  const how = `read ${degrees(read)} °C where it was ${degrees(truth)} °C`;
  return { ...checked(truth - read, 1), how, worth: null };
}

/** Where the water boils: a barometer's pressure, a weather service's, or altitude alone. */
export type Place =
  { pressure: number } | { seaLevelPressure: number; altitude: number } | { altitude: number };

/** @returns °C, and how far weather and reading may move it */
export function boilingAt(place: Place): { celsius: number; give: number } {
  if ('pressure' in place) return { celsius: boilingPoint(place.pressure), give: PRESSURE_ERROR_CELSIUS };
  if ('seaLevelPressure' in place)
    return {
      celsius: boilingPoint(stationPressure(place.seaLevelPressure, place.altitude)),
      give: PRESSURE_ERROR_CELSIUS * 2,
    };
  return { celsius: boilingPoint(standardPressure(place.altitude)), give: WEATHER_ERROR_CELSIUS };
}

/**
 * What errors e₀ at 0 °C and e₁₀₀ at boiling become at `celsius` on the line through both, at worst:
 * (t/100)·e₁₀₀ + (t/100 − 1)·e₀; at 270 °C 2.7·e₁₀₀ + 1.7·e₀.
 */
export function extrapolated(e0: number, e100: number, celsius: number, boiling = 100): number {
  const share = celsius / boiling;
  return Math.abs(share) * e100 + Math.abs(share - 1) * e0;
}

/** ± °C at 270 °C of a line through ice and boiling water, by what is known of the place. */
export function worthAtStone(place: Place): number {
  const { celsius, give } = boilingAt(place);
  return round(
    extrapolated(
      ICE_POINT_ERROR_CELSIUS + DISPLAY_RESOLUTION_CELSIUS,
      give + DISPLAY_RESOLUTION_CELSIUS,
      STONE_CELSIUS,
      celsius,
    ),
    1,
  );
}

/**
 * Line through the ice point and the boiling point. Corrected = gain · read + offset.
 * @param ice, boiling what the probe read in each, °C
 * @throws Fault `invalid` when the two are not apart as ice and boiling water are
 */
export function byIceAndBoiling(ice: number, boiling: number, place: Place): Calibrated {
  const { celsius: truth } = boilingAt(place);
  const gain = truth / (boiling - ice);
  const worth = worthAtStone(place);
  const how = `ice ${degrees(ice)} °C, boiling ${degrees(boiling)} °C where water boils at ${degrees(truth)} °C; worth ±${degrees(worth)} °C at ${STONE_CELSIUS} °C`;
  return { ...checked(-gain * ice, gain), how, worth };
}

/** Fewer pairs, or nearer together, than this tell no slope: count, °C. */
const PAIRS_FOR_SLOPE = 10;
const SPAN_FOR_SLOPE = 80;

/**
 * Against another probe in the same place, both steady.
 * @param pairs [read by this, read by the other], °C
 * @throws Fault `invalid` without pairs
 */
export function againstProbe(pairs: readonly (readonly [own: number, other: number])[]): Calibrated {
  const n = pairs.length;
  if (n === 0) throw new Fault('invalid', 'There are no readings of both probes to compare: wait for some.');
  const own = pairs.reduce((sum, [x]) => sum + x, 0) / n;
  const other = pairs.reduce((sum, [, y]) => sum + y, 0) / n;
  // Centred sums: b = Σ(x − x̄)(y − ȳ)/Σ(x − x̄)², a = ȳ − b·x̄
  const sxx = pairs.reduce((sum, [x]) => sum + (x - own) ** 2, 0);
  const sxy = pairs.reduce((sum, [x, y]) => sum + (x - own) * (y - other), 0);
  const least = Math.min(...pairs.map(([x]) => x));
  const most = Math.max(...pairs.map(([x]) => x));
  const gain = n >= PAIRS_FOR_SLOPE && most - least >= SPAN_FOR_SLOPE ? sxy / sxx : 1;
  const offset = other - gain * own;
  const left = pairs.reduce((sum, [x, y]) => sum + (y - gain * x - offset) ** 2, 0);
  const scatter = n > 2 ? Math.sqrt(left / (n - 2)) : null;
  const how = `against another probe, ${n} pairs of readings from ${degrees(least)} to ${degrees(most)} °C`;
  // ±2 standard deviations hold 19 of 20; the other probe's own tolerance comes besides.
  return { ...checked(offset, gain), how, worth: scatter === null ? null : round(2 * scatter, 1) };
}
