import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/** Relative luminance and contrast of WCAG 2.2, handbook section 15. */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(one: string, other: string): number {
  const [light = 0, dark = 0] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (light + 0.05) / (dark + 0.05);
}

const css = readFileSync(new URL('../../web/theme.css', import.meta.url), 'utf8');
const tokensOf = (selector: string): Record<string, string> => {
  const block = css.slice(css.indexOf(`${selector} {`)).split('}')[0] ?? '';
  return Object.fromEntries(
    [...block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})/g)].map((m) => [m[1] ?? '', m[2] ?? '']),
  );
};
const themes = { dusk: tokensOf(':root'), sunlight: tokensOf(":root[data-theme='sunlight']") };

const TEXT: readonly (readonly [string, string])[] = [
  ...['ground', 'panel', 'panel-2', 'future'].flatMap((ground) => [
    ['ink', ground] as const,
    ['ink-soft', ground] as const,
  ]),
  ['on-ember', 'ember'],
  ['on-go', 'go'],
  ['on-act', 'act'],
  ['on-urgent', 'urgent'],
  ['on-lost', 'lost-a'],
  ['on-lost', 'lost-b'],
  ['on-rehearsal', 'rehearsal'],
  ['ground', 'ink'],
  ['ground', 'pizza'],
  ['ground', 'baking'],
  ['warn-ink', 'ground'],
  ['stone', 'ground'],
  ['dome', 'ground'],
];
const LINES: readonly (readonly [string, string])[] = [
  ...['stone', 'dome', 'other', 'band', 'pizza', 'rule', 'focus', 'ember'].map(
    (line) => [line, 'ground'] as const,
  ),
  ['rule', 'panel'],
  ['stone', 'future'],
  ['dome', 'future'],
];

describe('contrast', () => {
  it('is worked out as the handbook does', () => {
    expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.542, 3);
    expect(contrast('#ff0000', '#000000')).toBeCloseTo(5.252, 3);
    expect(contrast('#595959', '#ffffff')).toBeCloseTo(7.005, 3);
  });
  const least = { dusk: 4.5, sunlight: 7 };
  for (const [theme, tokens] of Object.entries(themes)) {
    it.each(TEXT)(`${theme}: text %s on %s`, (ink, ground) => {
      expect(contrast(tokens[ink] ?? '', tokens[ground] ?? '')).toBeGreaterThanOrEqual(
        theme === 'sunlight' ? least.sunlight : least.dusk,
      );
    });
    it.each(LINES)(`${theme}: line %s on %s`, (line, ground) => {
      expect(contrast(tokens[line] ?? '', tokens[ground] ?? '')).toBeGreaterThanOrEqual(3);
    });
  }
});
