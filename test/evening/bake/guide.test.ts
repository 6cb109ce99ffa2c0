import { describe, expect, it } from 'vitest';
import { startBake, stepBake } from '../../../server/evening/bake/bake.ts';
import { guide, wantedFor, warningOf } from '../../../server/evening/bake/guide.ts';
import { learn, type Tasted } from '../../../server/evening/bake/verdict-learning.ts';
import { personalReason, reasonOf } from '../../../server/evening/bake/reason-for-move.ts';

const MIDDLING = { base: 0, crust: 0, wetness: 0 };

function at(stone: number, dome: number | null, own = 450, middle = 270) {
  const launch = (celsius: number | null) => (celsius === null ? null : { celsius, weight: 1 });
  const bake = startBake(
    0,
    76,
    { reference: middle, tolerance: 2, allowance: null, launch: launch(stone), usual: null },
    {
      reference: dome === null ? null : 255,
      tolerance: 20,
      allowance: 40,
      launch: launch(dome),
      usual: null,
    },
  );
  return { bake: stepBake(bake, 70, stone, dome), wanted: wantedFor(MIDDLING, own) };
}
const of = ({ bake, wanted }: ReturnType<typeof at>) => guide(bake, wanted);

describe('bake guidance', () => {
  it.each([
    [200, 1200],
    [270, 450],
    [330, 150],
    [450, 60],
  ])('given a launch in the middle of a band at %d °C, is done at the own time of %d s', (middle, own) => {
    expect(of(at(middle, 255, own, middle)).off).toBeCloseTo(own, 6);
  });

  it('given a hotter stone, is done sooner; a colder one, later', () => {
    expect(of(at(285, 255)).off).toBeLessThan(430);
    expect(of(at(255, 255)).off).toBeGreaterThan(470);
  });

  it('given a dome within its band, leaves the end alone; beyond it, moves it in the same direction by no more than 12 %', () => {
    for (const dome of [236, 255, 274]) expect(of(at(270, dome)).off).toBeCloseTo(450, 6);
    for (const dome of [200, 320]) {
      const later = (255 - dome) * (of(at(270, dome)).off - 450);
      expect(later).toBeGreaterThan(0);
    }
    for (const dome of [120, 200, 320, 400])
      expect(Math.abs(of(at(270, dome)).off - 450)).toBeLessThanOrEqual(54.001);
  });

  it('given a dome far from its band, warns with a cure that keeps the lid shut or the fire down', () => {
    const warned = (dome: number | null) => {
      const guide = at(270, dome);
      return warningOf(of(guide), guide.wanted);
    };
    expect(warned(195)?.text).toMatch(/^The base will be done about .* before the top\.$/);
    expect(warned(195)?.cure).toMatch(/^Keep the lid shut/);
    expect(warned(330)?.text).toMatch(/^The top will be done about .* before the base\.$/);
    expect([warned(255), warned(240), warned(null)]).toEqual([null, null, null]);
  });

  it('given a dome that has not come back two and a half minutes after the first launch, warns', () => {
    const { bake, wanted } = at(270, 255);
    const later = stepBake(bake, 160, 270, 130);
    expect(warningOf(guide(later, wanted), wanted)?.text).toContain('before the top');
    expect(warningOf(guide(stepBake(bake, 160, 270, 200), wanted), wanted)).toBeNull();
  });

  it('given a move, says why in one sentence, in the unit of the person', () => {
    const { bake, wanted } = at(290, 255);
    const now = guide(bake, wanted);
    expect(reasonOf(-50, bake, now, 'C')).toBe(
      'Off 50 s sooner: the stone was 20 °C above the middle of its band at the launch.',
    );
    expect(reasonOf(-50, bake, now, 'F')).toContain('36 °F above');
  });

  const scorched = (eater: string): Tasted => ({ eater, given: 0, verdict: 'scorched' });
  it.each([
    ['verdicts of the eater', [scorched('Ines')], 0, 'by the verdicts of Ines'],
    [
      'others have judged alone',
      [scorched('Ben')],
      0,
      'by the verdicts of others, since there are none of Ines yet',
    ],
    ['both have judged', [scorched('Ben'), scorched('Ines')], 0, 'by the verdicts of Ines and of others'],
    ['the taste does most of it', [scorched('Ines')], -20, 'as Ines likes it (pale)'],
    ['the taste asks for the opposite', [scorched('Ines')], 12, 'by the verdicts of Ines'],
    [
      'verdicts that ask for the opposite',
      [{ ...scorched('Ines'), verdict: 'pale' as const }],
      -40,
      'as Ines likes it (pale)',
    ],
  ])('given a personal time and %s, says so', (_who, tasted, byTaste, because) => {
    const who = { eater: 'Ines', likes: 'pale' };
    expect(personalReason(-30, byTaste, who, learn(tasted, 'Ines'))).toBe(`Off 30 s sooner, ${because}.`);
  });

  it('given a taste for well done, wants more than for pale, and what was learned on top', () => {
    const [pale, done] = [-2, 2].map((base) => wantedFor({ ...MIDDLING, base }, 300));
    expect(done?.base).toBeGreaterThan(pale?.base ?? Infinity);
    expect(wantedFor(MIDDLING, 300, { base: Math.log(0.9), top: 0 }).base).toBeCloseTo(270, 6);
  });
});
