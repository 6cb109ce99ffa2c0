import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextTime, type Announced } from '../../../server/evening/bake/announced-time.ts';
import { forAll, real } from '../../support/property.ts';

const fresh = (own: number, isTaught = false): Announced => ({
  own,
  first: own,
  now: own,
  moved: 0,
  movedAt: -1e6,
  isTaught,
});

/** Goes through a bake whose end is wished for anew each second. @returns every time announced, with its second */
function through(own: number, isTaught: boolean, wish: (since: number) => number) {
  const announced = fresh(own, isTaught);
  const moves: { since: number; from: number; to: number }[] = [];
  for (let since = 1; since < announced.now; since++) {
    const to = nextTime(announced, since, wish(since));
    if (to === null) continue;
    moves.push({ since, from: announced.now, to });
    announced.moved += Math.abs(to - announced.now);
    announced.movedAt = since;
    announced.now = to;
  }
  return { moves, end: announced.now };
}

describe('the announced time', () => {
  const own = fc.integer({ min: 60, max: 1200 });
  const factors = fc.array(real(0.2, 3), { minLength: 1, maxLength: 60 });

  it('given wild wishes, moves neither in the first minute nor in the last half minute before the call', () => {
    forAll({ seed: 11 }, own, fc.boolean(), factors, (seconds, isTaught, wishes) => {
      const { moves } = through(
        seconds,
        isTaught,
        (t) => seconds * (wishes[((t / 15) % wishes.length) | 0] ?? 1),
      );
      for (const { since, from, to } of moves) {
        expect(since).toBeGreaterThan(60);
        expect(from - since).toBeGreaterThan(30);
        expect(to - since).toBeGreaterThan(30);
      }
    });
  });

  it('given wild wishes, moves in total no more than 1.5 times its net change', () => {
    forAll({ seed: 12 }, own, fc.boolean(), factors, (seconds, isTaught, wishes) => {
      const { moves, end } = through(
        seconds,
        isTaught,
        (t) => seconds * (wishes[((t / 15) % wishes.length) | 0] ?? 1),
      );
      if (!isTaught) expect(Math.abs(end / seconds - 1)).toBeLessThanOrEqual(0.2);
      const total = moves.reduce((sum, { from, to }) => sum + Math.abs(to - from), 0);
      expect(total).toBeLessThanOrEqual(1.5 * Math.abs(end - seconds));
    });
  });

  it('given no verdicts, stays within a fifth of the own time; taught, it goes further', () => {
    for (const factor of [0.3, 2]) {
      const [modest, free] = [
        through(600, false, () => 600 * factor),
        through(600, true, () => 600 * factor),
      ];
      expect(Math.abs(modest.end - 600)).toBe(120);
      expect(Math.abs(free.end - 600)).toBeGreaterThan(120);
    }
  });

  it('given a wish that is hardly different, stands', () => {
    expect(through(450, false, () => 455).moves).toEqual([]);
  });
});
