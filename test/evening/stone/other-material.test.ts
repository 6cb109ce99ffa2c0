import { describe, expect, it } from 'vitest';
import { startingBand, startingText } from '../../../server/evening/stone/other-material.ts';
import { MATERIALS } from '../../../shared/evening/evening.ts';

const USUAL = [255, 285] as const;
const THICK = [5, 6, 10, 15, 30, 60];

describe('where to begin with another plate', () => {
  it('given the usual stone, begins at the usual band and says nothing', () => {
    expect(startingBand(USUAL, { material: 'cordierite', thicknessMm: 15 })).toEqual([255, 285]);
    expect(startingText(USUAL, { material: 'cordierite', thicknessMm: 60 })).toBe('');
  });

  it.each(['steel', 'cast-iron'] as const)(
    'given %s of any thickness, begins lower, but never where a base stays pale (published: steel at 230 °C)',
    (material) => {
      for (const thicknessMm of THICK) {
        const [low, high] = startingBand(USUAL, { material, thicknessMm });
        expect(low).toBeGreaterThanOrEqual(225);
        expect((low + high) / 2).toBeGreaterThanOrEqual(230);
        expect((low + high) / 2).toBeLessThan(270);
        expect(startingText(USUAL, { material, thicknessMm })).toContain('faster than cordierite');
      }
    },
  );

  it('given fireclay of any thickness, begins higher, and its words say so', () => {
    for (const thicknessMm of THICK) {
      const [low, high] = startingBand(USUAL, { material: 'fireclay', thicknessMm });
      expect(low).toBeGreaterThan(255);
      expect(high).toBeLessThan(305);
      const text = startingText(USUAL, { material: 'fireclay', thicknessMm });
      expect(text).toContain(`begin at ${low} °C to ${high} °C`);
      expect(text).toContain('more slowly than cordierite');
      expect(text).not.toMatch(/lower|dome/);
    }
  });

  it('given a band so low that no plate begins below it, still says which plate is the faster', () => {
    const text = (material: 'steel' | 'fireclay') => startingText([200, 230], { material, thicknessMm: 10 });
    expect(text('steel')).toContain('faster than cordierite: begin at 200 °C to 230 °C');
    expect(text('fireclay')).toContain('more slowly than cordierite');
  });

  it('given a plate that runs empty sooner, stays nearer to the usual temperature', () => {
    const low = (thicknessMm: number) => startingBand([330, 360], { material: 'steel', thicknessMm })[0];
    expect(low(5)).toBeGreaterThan(low(15));
    expect(low(15)).toBeGreaterThan(low(60));
  });

  it('given any plate, names what the figure is, in the unit of the person', () => {
    for (const material of MATERIALS.filter((each) => each !== 'cordierite'))
      for (const thicknessMm of THICK) {
        expect(startingText(USUAL, { material, thicknessMm })).toContain('Our estimate');
        expect(startingText(USUAL, { material, thicknessMm }, 'F')).not.toContain('°C');
      }
  });
});
