import { describe, expect, it } from 'vitest';
import type { Palette, Pen } from '../../../../web/lib/plot/pen.ts';
import { paintMarks } from '../../../../web/lib/plot/plot-paint.ts';
import type { Scene } from '../../../../web/lib/plot/plot-scene.ts';

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
});
