import { describe, expect, it } from 'vitest';
import {
  dueCount,
  formatAge,
  formatCountdown,
  formatDegrees,
  formatDifference,
  formatElapsed,
  formatRate,
  formatSpan,
  formatTemperature,
  timeWriter,
  unitOfLocale,
  withZone,
} from '../../../web/lib/format.ts';

describe('temperatures', () => {
  // °F = °C·9/5 + 32: 250 → 482, 270 → 518, 20 → 68, −40 → −40
  it.each([
    [250, '482°'],
    [270, '518°'],
    [20, '68°'],
    [-40, '−40°'],
  ])('%s °C is written %s in °F', (celsius, text) => {
    expect(formatDegrees(celsius, 'F')).toBe(text);
  });
  it('are whole degrees, and a dash where there is none', () => {
    expect(formatDegrees(262.6, 'C')).toBe('263°');
    expect(formatDegrees(-0.3, 'C')).toBe('0°');
    expect(formatDegrees(null, 'F')).toBe('–');
    expect(formatTemperature(263.2, 'C')).toBe('263 °C');
  });
});

describe('differences and rates', () => {
  // a difference takes 9/5 alone: a deadband of 5 °C is 9 °F, not 41; 5 °C/min is 9 °F/min
  it('are never shifted by 32', () => {
    expect(formatDifference(5, 'F')).toBe('9°');
    expect(formatRate(5, 'F')).toBe('+9.0°/min');
  });
  it('given a rate, writes its sign but at zero, and whole degrees from ten on', () => {
    expect(formatRate(-2.44, 'C')).toBe('−2.4°/min');
    expect(formatRate(12.3, 'C')).toBe('+12°/min');
    expect(formatRate(9.97, 'C')).toBe('+10°/min');
    expect(formatRate(-0.04, 'C')).toBe('0.0°/min');
    expect(formatRate(null, 'C')).toBe('–');
  });
});

describe('times', () => {
  it('count down to the second, and on above zero once due', () => {
    expect(formatCountdown(65)).toBe('1:05');
    expect(formatCountdown(0.4)).toBe('0:01');
    expect(formatCountdown(0)).toBe('0:00');
    expect([8.2, -4.9, -5, -20.7].map(dueCount)).toEqual(['0:09', 'now', '0:05 late', '0:21 late']);
  });
  it('are rough where they are read at a glance', () => {
    expect([0, 44, 59, 300, 3540, 3600, 4260].map(formatSpan)).toEqual([
      '5 s',
      '45 s',
      '1 min',
      '5 min',
      '59 min',
      '1 h',
      '1 h 11 min',
    ]);
  });
  it('tell an age to the second below a minute', () => {
    expect([0, 3.9, 59, 125].map(formatAge)).toEqual(['0 s', '3 s', '59 s', '2 min']);
  });
  it('run from the start in a rehearsal, whose time of day would lie', () => {
    expect(formatElapsed(4830)).toBe('1:20 h');
    expect(timeWriter({ startedAt: '2026-05-02T17:00:00.000Z', rehearsal: true })(4830)).toBe('1:20 h');
    expect(timeWriter({ startedAt: '2026-05-02T17:00:00.000Z', rehearsal: false })(1800)).toMatch(/:30/);
  });
});

it('the unit of a locale is °F where people measure so, by the region alone', () => {
  expect(['en-US', 'es-PR', 'en-us'].map(unitOfLocale)).toEqual(['F', 'F', 'F']);
  expect(['en-GB', 'en', 'de', 'fr-CA', 'uk-UA', 'us'].map(unitOfLocale)).toEqual([
    'C',
    'C',
    'C',
    'C',
    'C',
    'C',
  ]);
});

it('given an instant, the page writes it with the zone of its place, the same instant', () => {
  for (const iso of ['2026-05-02T17:00:00.000Z', '2026-12-31T23:30:00.000Z']) {
    expect(withZone(iso)).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d$/);
    expect(Date.parse(withZone(iso))).toBe(Date.parse(iso));
  }
});
