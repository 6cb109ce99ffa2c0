import { describe, expect, it } from 'vitest';
import type { Palette, Pen } from '../../../../web/lib/plot/pen.ts';
import { paintMarks } from '../../../../web/lib/plot/plot-paint.ts';
import { valueSpace, type Scene } from '../../../../web/lib/plot/plot-scene.ts';

const CHARACTER = 8;
type Words = { text: string; from: number; to: number; top: number };

/** A canvas on which each character is `CHARACTER` pixels wide; what is written on it is left of a text's end. */
function written(width: number, scene: Partial<Scene>): Words[] {
  const words: Words[] = [];
  const context = {
    ...Object.fromEntries(
      [
        'save',
        'restore',
        'beginPath',
        'rect',
        'clip',
        'moveTo',
        'lineTo',
        'stroke',
        'strokeText',
        'fill',
      ].map((name) => [name, () => {}]),
    ),
    measureText: (text: string) => ({ width: text.length * CHARACTER }),
    fillText: (text: string, left: number, top: number) =>
      words.push({ text, from: left, to: left + text.length * CHARACTER, top }),
  };
  // Only what words are painted with.
  const pen = {
    context,
    palette: {} as Palette,
    px: 1,
    x: (t: number) => (t / 100) * width,
    y: (value: number) => 400 - value,
    left: 0,
    top: 0,
    width,
    height: 400,
  } as unknown as Pen;
  const whole = { bars: [], glyphs: [], curves: [], forecast: [], band: null, now: null, ...scene };
  paintMarks(pen, whole as unknown as Scene);
  return words;
}

const clash = (a: Words, b: Words): boolean => a.from < b.to && b.from < a.to && Math.abs(a.top - b.top) < 15;

describe('the words on a plot', () => {
  it.each([320, 390, 1280])('given a plot %i px wide, never puts "now" on the words of the band', (width) => {
    for (let now = 0; now <= 100; now += 2)
      for (let high = 285; high <= 480; high += 5) {
        const words = written(width, { now, band: [high - 30, high] });
        const [at, band] = [
          words.find(({ text }) => text === 'now'),
          words.find(({ text }) => /°/.test(text)),
        ];
        if (!at || !band) throw new Error('both are written');
        expect(clash(at, band)).toBe(false);
      }
  });

  it('given two curves that end near each other, names the upper above its line and the lower below its own', () => {
    const ends = (stone: number, dome: number): Words[] =>
      written(1280, {
        to: 100,
        curves: (['stone', 'dome'] as const).map((role) => ({
          id: role,
          role,
          name: role,
          values: [],
          doubtful: [],
        })),
        forecast: (['stone', 'dome'] as const).map((role) => {
          const value = role === 'stone' ? stone : dome;
          return { role, points: [{ t: 100, value, low: value, high: value }] };
        }),
      });
    for (const [stone, dome] of [
      [225, 240],
      [240, 225],
      [232, 230],
    ] as const) {
      const top = (name: string): number => ends(stone, dome).find(({ text }) => text === name)?.top ?? NaN;
      // A canvas counts downwards: the pen of this test puts a value at 400 − value.
      const [upper, lower] = stone > dome ? ['stone', 'dome'] : ['dome', 'stone'];
      expect(top(upper)).toBeLessThan(400 - Math.max(stone, dome));
      expect(top(lower)).toBeGreaterThan(400 - Math.min(stone, dome));
    }
  });

  it('given curves that end at now, puts no name over "now" or the band', () => {
    for (let now = 5; now <= 100; now += 5)
      for (let value = 230; value <= 390; value += 5) {
        const words = written(390, {
          now,
          from: 0,
          to: 100,
          low: 0,
          high: 400,
          band: [255, 285],
          times: [now],
          curves: [{ id: 'dome', role: 'dome', name: 'Dome', values: [value], doubtful: [] }],
        });
        const name = words.find(({ text }) => text === 'Dome');
        if (!name) throw new Error('the name is written');
        const box = { ...name, from: name.from - 4 * CHARACTER, to: name.from, top: name.top - 8 };
        for (const other of words.filter(({ text }) => text !== 'Dome'))
          expect(clash(box, other)).toBe(false);
      }
  });
});

describe('axis of values', () => {
  /** As uPlot 1.6 chooses it: the first of its increments that is as wide as the space. */
  const STEPS = [1, 2, 2.5, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000];
  it.each([60, 80, 120, 200, 400])(
    'given a plot %i px high and any range that it shows, has two numbers at least, and no two nearer than their height',
    (height) => {
      for (let span = 40; span <= 900; span += 7)
        for (let low = 0; low <= 300; low += 13) {
          const step = STEPS.find((each) => (each * height) / span >= valueSpace(height)) ?? Infinity;
          const numbers = Math.floor((low + span) / step) - Math.ceil(low / step) + 1;
          expect(numbers, `${low} to ${low + span}`).toBeGreaterThanOrEqual(2);
        }
      expect(valueSpace(height)).toBeGreaterThanOrEqual(15);
    },
  );
});
