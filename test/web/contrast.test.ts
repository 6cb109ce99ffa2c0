import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/** Relative luminance and contrast of WCAG 2.2. */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(ink: string, other: string): number {
  const [light = 0, dark = 0] = [luminance(ink), luminance(other)].sort((a, b) => b - a);
  return (light + 0.05) / (dark + 0.05);
}

const css = readFileSync(new URL('../../web/styles/theme.css', import.meta.url), 'utf8');
/** The colours of a block, those that it takes from another by `var()` resolved. */
function tokensOf(selector: string, base: Record<string, string> = {}): Record<string, string> {
  const block = css.slice(css.indexOf(`${selector} {`)).split('}')[0] ?? '';
  const tokens = { ...base };
  for (const [, name = '', value = ''] of block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6}|var\(--[\w-]+\))/g))
    tokens[name] = value;
  return tokens;
}
const slate = tokensOf(':root');
const themes = { slate, chalk: tokensOf(":root[data-theme='sunlight']", slate) };
const colour = (tokens: Record<string, string>, name: string): string => {
  const value = tokens[name] ?? '';
  const other = /^var\(--([\w-]+)\)$/.exec(value)?.[1];
  return other ? colour(tokens, other) : value;
};

const GROUNDS = ['ground', 'panel', 'panel-2', 'future'];
/** Read at the grill, from 3 m, in smoke: 7 (WCAG 2.2, 1.4.6, level AAA). */
const AT_THE_GRILL: readonly (readonly [string, string])[] = [
  ...GROUNDS.flatMap((ground) => [['ink', ground] as const, ['ink-soft', ground] as const]),
  ['on-go', 'go'],
  ['on-act', 'act'],
  ['on-now', 'now'],
  ['on-lost', 'lost-a'],
  ['on-lost', 'lost-b'],
  ['on-rehearsal', 'rehearsal'],
  ['ground', 'ink'],
  ['warn-ink', 'ground'],
];
/** Other text: 4.5 (1.4.3, level AA). */
const TEXT: readonly (readonly [string, string])[] = [
  ['stone', 'ground'],
  ['dome', 'ground'],
];
/** Lines and marks: 3 (1.4.11, level AA). */
const LINES: readonly (readonly [string, string])[] = [
  ...['heat-cold', 'heat-near', 'heat-band', 'heat-over', 'dome', 'other', 'dough', 'crust', 'rule'].flatMap(
    (line) => ['ground', 'panel', 'future'].map((ground) => [line, ground] as const),
  ),
  ['band', 'ground'],
  ['focus', 'ground'],
  ['focus', 'panel-2'],
];

describe('contrast', () => {
  it('given known pairs, is the ratio that the formula of WCAG 2.2 gives', () => {
    expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.542, 3);
    expect(contrast('#ff0000', '#000000')).toBeCloseTo(5.252, 3);
    expect(contrast('#595959', '#ffffff')).toBeCloseTo(7.005, 3);
  });
  describe.each(Object.entries(themes))('%s', (_name, tokens) => {
    const of = (ink: string, other: string): number => contrast(colour(tokens, ink), colour(tokens, other));
    it.each(AT_THE_GRILL)('%s on %s can be read from afar', (ink, ground) => {
      expect(of(ink, ground)).toBeGreaterThanOrEqual(7);
    });
    it.each(TEXT)('%s on %s can be read', (ink, ground) => {
      expect(of(ink, ground)).toBeGreaterThanOrEqual(4.5);
    });
    it.each(LINES)('%s on %s can be seen', (line, ground) => {
      expect(of(line, ground)).toBeGreaterThanOrEqual(3);
    });
    it('the stone grows brighter, by eye or by colour, with each step of its heat', () => {
      const steps = ['heat-cold', 'heat-near', 'heat-band', 'heat-over'].map((name) => {
        const hex = colour(tokens, name);
        const [r = 0, g = 0, b = 0] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16));
        return luminance(hex) + (Math.max(r, g, b) - Math.min(r, g, b)) / 255;
      });
      expect([...steps].sort((a, b) => a - b)).toEqual(steps);
    });
  });
});
