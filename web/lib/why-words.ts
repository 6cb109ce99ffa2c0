import type { Unit } from '../../shared/units.ts';
import { MINUS, differenceInUnit, formatRate, formatSpan, formatTemperature } from './format.ts';

/** What a number of a `why` is, by the name that the engine gives it. A name that is not here is shown plainly. */
type Kind = 'temperature' | 'difference' | 'rate' | 'minutes' | 'seconds';
const KINDS: Record<string, readonly [words: string, kind: Kind]> = {
  stone: ['stone', 'temperature'],
  dome: ['dome', 'temperature'],
  low: ['band from', 'temperature'],
  high: ['band to', 'temperature'],
  peak: ['peak', 'temperature'],
  limit: ['limit', 'temperature'],
  before: ['before', 'temperature'],
  error: ['known to ±', 'difference'],
  over: ['over by', 'difference'],
  drop: ['fell by', 'difference'],
  fall: ['fell by', 'difference'],
  rise: ['rose by', 'difference'],
  changeIn2Min: ['moved in 2 min', 'difference'],
  perMinute: ['smoothed rate', 'rate'],
  perMinuteError: ['rate known to ±', 'rate'],
  bend: ['rate turned by', 'rate'],
  inMinutes: ['in', 'minutes'],
  onFor: ['on the stone for', 'seconds'],
  openFor: ['open for', 'seconds'],
  silent: ['silent for', 'seconds'],
  patience: ['waited for', 'seconds'],
};

const plain = (value: number): string => String(Math.round(value * 10) / 10).replace('-', MINUS);
const WRITE: Record<Kind, (value: number, unit: Unit) => string> = {
  temperature: formatTemperature,
  // To a tenth: a change of half a degree says something here.
  difference: (value, unit) => `${plain(differenceInUnit(value, unit))}°`,
  rate: formatRate,
  minutes: (value) => formatSpan(value * 60),
  seconds: (value) => formatSpan(value),
};

/** "onForText" → "on for text". */
const humanize = (key: string): string => key.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);

/** One number behind a state or alert, in words and the person's unit. Pure. */
export function whyOf(key: string, value: number | string, unit: Unit): [words: string, value: string] {
  if (typeof value === 'string') return [humanize(key), value];
  const known = KINDS[key];
  return known ? [known[0], WRITE[known[1]](value, unit)] : [humanize(key), plain(value)];
}
