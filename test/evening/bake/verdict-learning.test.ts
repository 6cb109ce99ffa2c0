import { describe, expect, it } from 'vitest';
import { isTaught, learn, type Tasted } from '../../../server/evening/bake/verdict-learning.ts';
import { GRILLS, median, misses } from './eaters.ts';

const verdictOf = (verdict: Tasted['verdict'], given = 0, eater = 'a'): Tasted => ({ eater, given, verdict });
const times = <T>(n: number, each: T): T[] => Array.from({ length: n }, () => each);

describe('learning from verdicts', () => {
  it('given none, knows nothing and says so', () => {
    const { ln, pizzas, words } = learn([], 'a');
    expect([ln, pizzas, words]).toEqual([0, 0, 'No verdicts yet: the time is your own.']);
  });

  it('given verdicts of one kind, moves in their direction and says by how much', () => {
    const lesson = learn(times(6, verdictOf('scorched')), 'a');
    expect(lesson.ln).toBeLessThan(-0.1);
    expect(lesson.words).toBe(`6 verdicts of a: ${Math.round(100 * (1 - Math.exp(lesson.ln)))} % shorter.`);
    expect(learn([verdictOf('pale')], 'a').words).toMatch(/^1 verdict of a: \d+ % longer\.$/);
  });

  it.each([
    ['their own alone', ['a', 'a'], 'a', /^2 verdicts of a: \d+ % longer\.$/],
    ["others' alone", ['b', 'c'], 'a', /^2 verdicts of others, none of a yet: \d+ % longer\.$/],
    ['both', ['b', 'a', 'c'], 'a', /^1 verdict of a and 2 of others: \d+ % longer\.$/],
    ['those of eaters without a name', [''], '', /^1 verdict: \d+ % longer\.$/],
  ])('given %s, says whose verdicts speak', (_whose, eaters, eater, words) => {
    const tasted = eaters.map((each) => verdictOf('pale', 0, each));
    const lesson = learn(tasted, eater);
    expect(lesson.words).toMatch(words);
    expect(lesson.own).toBe(eaters.filter((each) => each === eater).length);
  });

  it.each([-0.2, -0.05, 0, 0.1, 0.25])('given a run of "right" at %d, never moves away from it', (given) => {
    for (const before of [
      [],
      [verdictOf('scorched', 0.1)],
      [verdictOf('pale', -0.2), verdictOf('right', 0.1)],
    ]) {
      let last = Math.abs(learn(before, 'a').ln - given);
      for (let n = 1; n <= 10; n++) {
        const away = Math.abs(learn([...before, ...times(n, verdictOf('right', given))], 'a').ln - given);
        expect(away).toBeLessThanOrEqual(last + 1e-9);
        last = away;
      }
    }
  });

  it('given "right" of what was called, stays exactly there', () => {
    const before = times(2, verdictOf('scorched'));
    const called = learn(before, 'a').ln;
    expect(learn([...before, ...times(8, verdictOf('right', called))], 'a').ln).toBeCloseTo(called, 9);
  });

  it.each([-0.03, 0.02, 0.03])(
    'given a run of "right" of pizzas that had %d (ln) more than was called, calls the same again',
    (off) => {
      for (const before of [times(2, verdictOf('scorched')), times(3, verdictOf('pale')), []]) {
        const called = learn(before, 'a').ln;
        expect(learn([...before, ...times(8, verdictOf('right', called + off))], 'a').ln).toBeCloseTo(
          called,
          9,
        );
      }
    },
  );

  it('given two odd verdicts among ten, moves by less than 4 %', () => {
    const ten = [...times(8, verdictOf('right')), ...times(2, verdictOf('scorched'))];
    expect(Math.abs(learn(ten, 'a').ln)).toBeLessThan(0.04);
  });

  it('given a new eater, starts from what the table says and lets their own verdicts lead', () => {
    const table = times(6, verdictOf('pale', 0.03, 'b'));
    expect(learn(table, 'a').ln).toBeGreaterThan(0.03);
    const own = [...table, ...times(6, verdictOf('scorched', -0.03, 'a'))];
    expect(learn(own, 'a').ln).toBeLessThan(0);
    expect(learn(own, 'b').ln).toBeGreaterThan(0);
  });

  it('given a little pale, moves less than given pale', () => {
    expect(learn([verdictOf('a-little-pale')], 'a').ln).toBeLessThan(learn([verdictOf('pale')], 'a').ln);
  });

  it('given three verdicts of an eater, counts that eater as known and no other', () => {
    expect(isTaught(times(2, verdictOf('right')), 'a')).toBe(false);
    expect(isTaught(times(3, verdictOf('right')), 'a')).toBe(true);
    expect(isTaught(times(3, verdictOf('right')), 'b')).toBe(false);
  });
});

describe('simulated eaters with a hidden wish and a physics of their own, one verdict in five random', () => {
  it.each(GRILLS.map((grill) => [grill.celsius, grill.material, grill] as const))(
    'given six verdicts at %d °C on %s, the call is within 8 %% of what the eater wants, in the middle of 200',
    (_celsius, _material, grill) => expect(median(misses(grill, 200, 6))).toBeLessThan(0.08),
  );

  it.each(GRILLS.map((grill) => [grill.celsius, grill.material, grill] as const))(
    'given no verdicts at %d °C on %s, the call is more than 1.5 times as far off as given six',
    (_celsius, _material, grill) =>
      expect(median(misses(grill, 200, 0))).toBeGreaterThan(1.5 * median(misses(grill, 200, 6))),
  );
});
