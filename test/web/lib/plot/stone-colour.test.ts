import { describe, expect, it } from 'vitest';
import { heatOf } from '../../../../web/lib/plot/stone-colour.ts';
import type { Palette, Pen } from '../../../../web/lib/plot/pen.ts';
import type { Scene } from '../../../../web/lib/plot/plot-scene.ts';

const COLOURS = { stone: 'red', over: 'white', near: 'brown', cold: 'grey' };

/** A canvas's gradient as the HTML standard has it: a colour that can't be read is a SyntaxError. */
function pen(colours: Partial<Palette>): { pen: Pen; stops: string[] } {
  const stops: string[] = [];
  const context = {
    createLinearGradient: () => ({
      addColorStop: (_at: number, colour: string) => {
        if (!colour) throw new SyntaxError("The value provided ('') could not be parsed as a color.");
        stops.push(colour);
      },
    }),
  };
  // Only what the heat of a stone is painted with.
  return { pen: { context, palette: colours, px: 1, y: (v: number) => 400 - v } as unknown as Pen, stops };
}
const scene = { band: [255, 285], low: 0, high: 400 } as unknown as Scene;

describe('the colour of the stone by its height', () => {
  it('given a band, has its brightest stop above it and its dullest far below', () => {
    const { pen: of, stops } = pen(COLOURS);
    heatOf(of, scene);
    expect(stops).toEqual(['white', 'red', 'red', 'brown', 'brown', 'grey']);
  });

  it('given a style sheet that has not come, draws without a gradient instead of throwing', () => {
    const { pen: of } = pen({ stone: '', over: '', near: '', cold: '' });
    expect(heatOf(of, scene)).toBe('');
  });
});
