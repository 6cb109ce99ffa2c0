import { describe, expect, it } from 'vitest';
import { plan } from '../../../server/evening/plan/planner.ts';
import type { PlanInput } from '../../../shared/evening/evening.ts';

const WORK = ['preferment', 'weigh', 'mix', 'knead', 'cold', 'warm', 'ball'];
const hour = (at: string, ahead: number): number => (new Date(at).getUTCHours() + 24 + ahead) % 24;
const atNight = (input: PlanInput, ahead: number) =>
  plan(input).steps.filter(
    ({ step, at }) => WORK.includes(step) && (hour(at, ahead) >= 23 || hour(at, ahead) < 6),
  );
const noteOf = (input: PlanInput) => plan(input).cautions.find((text) => text.includes('in the night'));

describe('hands that are wanted at night', () => {
  it.each([
    // a poolish of 12 h before 14 h in the mass
    [
      { serveAt: '2026-05-02T19:00:00+00:00', bulkHours: 14, coldHours: 10, preferment: { kind: 'poolish' } },
      0,
    ],
    // lunch
    [{ serveAt: '2026-05-02T12:00:00+02:00' }, 2],
    [{ serveAt: '2026-05-02T12:00:00-05:00', bulkHours: 1.5, coldHours: 30, coldAs: 'balls' }, -5],
    // the night in which the clocks of Europe go back
    [{ serveAt: '2026-10-25T11:30:00+01:00' }, 1],
  ] as const)('given %j, says so, and the time in the fridge that is proposed spares it', (over, ahead) => {
    const input = { pizzas: 4, ...over };
    expect(atNight(input, ahead).length).toBeGreaterThan(0);
    const note = noteOf(input) ?? '';
    const [, cold] = /: ([\d.]+) h in the fridge/.exec(note) ?? [];
    const hours = Number(cold);
    expect(hours, note).toBeGreaterThan(1);
    const { bulkHours = 3.5, coldHours = 0, coldAs = 'mass' }: PlanInput = input;
    const other = {
      ...input,
      coldHours: hours,
      bulkHours: coldAs === 'mass' ? bulkHours + hours - coldHours : bulkHours,
    };
    expect(atNight(other, ahead)).toEqual([]);
    expect(noteOf(other)).toBeUndefined();
  });

  it('given an evening whose hands work by day, or a serving without its zone, says nothing of nights', () => {
    expect(noteOf({ serveAt: '2026-05-02T19:00:00+02:00', pizzas: 4 })).toBeUndefined();
    expect(noteOf({ serveAt: '2026-05-02T10:00:00Z', pizzas: 4 })).toBeUndefined();
  });

  it('given a dough that is too late to be begun, says nothing of the night in which it was', () => {
    const input = { serveAt: '2026-05-02T10:00:00+02:00', pizzas: 4 };
    expect(noteOf(input)).toBeDefined();
    expect(noteOf({ ...input, now: '2026-05-02T06:00:00Z' })).toBeUndefined();
  });

  it('given a brunch that is too late to plan, proposes no other serving in the night', () => {
    const { instead = [] } = plan({
      serveAt: '2026-11-28T10:34:00+00:00',
      pizzas: 4,
      now: '2026-11-28T06:34:00Z',
    });
    const servings = instead.flatMap((change) => ('serveAt' in change ? [change.serveAt] : []));
    expect(servings).toContain('2026-11-29T10:34:00Z');
    for (const at of servings) expect(hour(at, 0), at).toBeGreaterThanOrEqual(10);
  });
});
