import type { CookScore, Found } from './score.ts';

/** One figure of the table: its words, its value or null where there was nothing to judge, and how to print it. */
export type Figure = { what: string; value: number | null; digits: number };

const sorted = (values: readonly number[]): number[] => values.toSorted((a, b) => a - b);
/** Lower median: the element at (n − 1)/2 rounded down. */
export const median = (values: readonly number[]): number | null =>
  sorted(values)[Math.floor((values.length - 1) / 2)] ?? null;
/** The element at ⌊q·n⌋, at most the last. */
export const quantile = (values: readonly number[], q: number): number | null =>
  sorted(values)[Math.min(values.length - 1, Math.floor(q * values.length))] ?? null;

const ratio = (part: number, whole: number): number | null => (whole > 0 ? part / whole : null);

function sum(scores: readonly CookScore[], of: (score: CookScore) => number): number {
  return scores.reduce((total, score) => total + of(score), 0);
}

function noticedFigures(scores: readonly CookScore[], event: keyof CookScore['noticed']): Figure[] {
  const of = (field: keyof Found): number => sum(scores, (score) => score.noticed[event][field]);
  const [hit, missed, extra] = [of('hit'), of('missed'), of('extra')];
  return [
    { what: `${event} recall`, value: ratio(hit, hit + missed), digits: 3 },
    { what: `${event} precision`, value: ratio(hit, hit + extra), digits: 3 },
  ];
}

function readyFigures(scores: readonly CookScore[], hours: number): Figure[] {
  const hit = sum(scores, ({ ready }) => ready.hit);
  const onsets = hit + sum(scores, ({ ready }) => ready.missed);
  const delays = scores.flatMap(({ ready }) => ready.delays);
  return [
    { what: 'ready: onsets', value: onsets, digits: 0 },
    { what: 'ready: found', value: ratio(hit, onsets), digits: 3 },
    {
      what: 'ready: false an hour',
      value: ratio(
        sum(scores, ({ ready }) => ready.extra),
        hours,
      ),
      digits: 3,
    },
    { what: 'ready: delay median, s', value: median(delays), digits: 1 },
    { what: 'ready: delay 90 %, s', value: quantile(delays, 0.9), digits: 1 },
  ];
}

function overshootFigures(scores: readonly CookScore[], hours: number): Figure[] {
  const crossings = sum(scores, ({ overshoot }) => overshoot.crossings);
  const leads = scores.flatMap(({ overshoot }) => overshoot.ahead.leads);
  const delays = scores.flatMap(({ overshoot }) => overshoot.announced.delays);
  const extra = (of: 'ahead' | 'announced'): number | null =>
    ratio(
      sum(scores, ({ overshoot }) => overshoot[of].extra),
      hours,
    );
  return [
    { what: 'overshoot: crossings', value: crossings, digits: 0 },
    { what: 'overshoot: warned', value: ratio(leads.length, crossings), digits: 3 },
    { what: 'overshoot: lead median, s', value: median(leads), digits: 1 },
    { what: 'overshoot: false warnings an hour', value: extra('ahead'), digits: 3 },
    { what: 'overshoot: told', value: ratio(delays.length, crossings), digits: 3 },
    { what: 'overshoot: told, delay median, s', value: median(delays), digits: 1 },
    { what: 'overshoot: false announcements per hour', value: extra('announced'), digits: 3 },
  ];
}

function etaFigures(scores: readonly CookScore[]): Figure[] {
  const errors = scores.flatMap(({ eta }) => eta.errors);
  const asked = sum(scores, ({ eta }) => eta.asked);
  const ranges = sum(scores, ({ eta }) => eta.ranges);
  return [
    { what: 'time to ready: asked', value: asked, digits: 0 },
    { what: 'time to ready: answered', value: ratio(errors.length, asked), digits: 3 },
    { what: 'time to ready: error median, s', value: median(errors), digits: 1 },
    { what: 'time to ready: error 90 %, s', value: quantile(errors, 0.9), digits: 1 },
    {
      what: 'time to ready: range holds',
      value: ratio(
        sum(scores, ({ eta }) => eta.rangesHeld),
        ranges,
      ),
      digits: 2,
    },
  ];
}

function curveFigures(scores: readonly CookScore[]): Figure[] {
  const errors = scores.flatMap(({ curve }) => curve.errors);
  return [
    { what: 'curve left alone: points', value: errors.length, digits: 0 },
    { what: 'curve left alone: error median, °C', value: median(errors), digits: 1 },
    {
      what: 'curve left alone: range holds',
      value: ratio(
        sum(scores, ({ curve }) => curve.held),
        errors.length,
      ),
      digits: 2,
    },
  ];
}

function estimateFigures(scores: readonly CookScore[]): Figure[] {
  const errors = scores.flatMap(({ estimate }) => estimate.errors);
  const held = sum(scores, ({ estimate }) => estimate.held);
  return [
    { what: 'stone known: error median, °C', value: median(errors), digits: 1 },
    { what: 'stone known: error 90 %, °C', value: quantile(errors, 0.9), digits: 1 },
    { what: 'stone known: range holds', value: ratio(held, errors.length), digits: 2 },
  ];
}

/** The table of figures over all of `scores`. */
export function figures(scores: readonly CookScore[]): Figure[] {
  const hours = sum(scores, (score) => score.hours);
  return [
    { what: 'hours', value: hours, digits: 1 },
    ...readyFigures(scores, hours),
    ...overshootFigures(scores, hours),
    ...etaFigures(scores),
    ...estimateFigures(scores),
    ...curveFigures(scores),
    {
      what: 'alerts an hour',
      value: ratio(
        sum(scores, (score) => score.alerts),
        hours,
      ),
      digits: 2,
    },
    ...noticedFigures(scores, 'lid-open'),
    ...noticedFigures(scores, 'launch'),
    ...noticedFigures(scores, 'off'),
  ];
}

const shown = ({ value, digits }: Figure): string => (value === null ? '–' : value.toFixed(digits));

/** Several columns of the same figures side by side. */
export function table(columns: readonly { head: string; figures: readonly Figure[] }[]): string {
  const [first] = columns;
  if (!first) return '';
  const width = Math.max(...first.figures.map(({ what }) => what.length));
  const cell = (text: string): string => text.padStart(14);
  const head = ''.padEnd(width) + columns.map((column) => cell(column.head)).join('');
  const rows = first.figures.map(
    ({ what }, row) =>
      what.padEnd(width) +
      columns.map((column) => cell(column.figures[row] ? shown(column.figures[row]) : '–')).join(''),
  );
  return [head, ...rows].join('\n');
}
