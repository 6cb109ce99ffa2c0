import { describe, expect, it } from 'vitest';
import { choicesOf } from '../../../../../web/stores/derive/curve/what-if-curves.ts';

const course = (celsius: number, at: number, overAt: number | null) => ({
  highest: { celsius, at },
  bandAt: null,
  overAt,
  ends: celsius,
});
const WHAT_IF = {
  asItIs: course(301.4, 1500, 1260),
  shut: course(283.2, 1320, null),
  shutLater: { minutes: 4, ...course(288, 1400, 1390) },
  until: 2,
  held: [
    { dome: 240, ...course(264, 1200, null) },
    { dome: 280, ...course(281, 1800, null) },
    { dome: 300, ...course(296, 2000, 1700) },
  ],
};
const parts = {
  whatIf: WHAT_IF,
  unit: 'C',
  write: (t: number) => `${t / 60} min`,
  isEstimate: false,
} as const;

describe('what shutting the vents would do', () => {
  it('given an overshoot that can be stopped, has each way with its peak, and how long there is', () => {
    expect(choicesOf(parts)).toEqual({
      verdict: 'Shut within 2 min, it stays in its band.',
      choices: [
        { name: 'As it is', leads: '301° at 25 min' },
        { name: 'Vents shut now', leads: '283° at 22 min' },
        { name: 'Shut in 4 min', leads: `288° at ${1400 / 60} min` },
        { name: 'Dome held at 280°', leads: '281° at 30 min' },
      ],
      peaks: [
        { t: 1500, celsius: 301.4, label: 'as it is 301°', isAbove: true },
        { t: 1320, celsius: 283.2, label: 'shut 283°', isAbove: false },
      ],
    });
  });

  it('given one that only a cooler dome would hold, says which, as the list beside it does', () => {
    const late = { ...WHAT_IF, shut: course(290, 1320, 1200), until: null };
    const choices = choicesOf({ ...parts, whatIf: late });
    expect(choices?.choices.at(-1)?.name).toBe('Dome held at 280°');
    expect(choices?.verdict).toBe(
      'Even shut now it goes over: only a dome of 280° from now on would hold it in its band.',
    );
  });

  it('given one that can only be made less, says so, and names no dome that would do', () => {
    const late = { ...WHAT_IF, shut: course(290, 1320, 1200), until: null, held: [] };
    const choices = choicesOf({ ...parts, whatIf: late });
    expect(choices?.verdict).toBe('Even shut now it goes over: the sooner, the less.');
    expect(choices?.choices).toHaveLength(3);
  });

  it('given a stone that is only estimated, marks each figure as an estimate, in the unit that is wanted', () => {
    const estimated = choicesOf({ ...parts, isEstimate: true, unit: 'F' });
    expect(estimated?.choices[0]?.leads).toMatch(/^≈ 575° at/);
    expect(estimated?.peaks[1]?.label).toBe('shut ≈ 542°');
  });

  it('given a stone that is over its band and already falls, offers nothing: it was hottest now, shut or not', () => {
    const falling = {
      ...WHAT_IF,
      asItIs: course(301.4, 1000, 1000),
      shut: course(301.4, 1000, 1000),
      until: null,
    };
    expect(choicesOf({ ...parts, whatIf: falling })).toBeNull();
  });
});
