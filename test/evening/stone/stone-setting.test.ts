import { describe, expect, it } from 'vitest';
import { diffusivity, MATERIAL_PROPERTIES } from '../../../server/evening/stone/materials.ts';
import {
  diffusionSeconds,
  equilibrium,
  gapTransfer,
  settingAdvice,
  slowestMode,
  soakSeconds,
} from '../../../server/evening/stone/stone-setting.ts';
import { stoneSetup } from '../../../shared/evening/evening.ts';

describe('heat through the stone', () => {
  // Textbook heat conduction, worked by hand: L²/α and 4L²/(π²α), s.
  it.each([
    ['cordierite', [152, 238, 271, 343, 424], [62, 97, 110, 139, 172]],
    ['fireclay', [283, 443, 504, 638, 787], [115, 179, 204, 258, 319]],
  ] as const)('%s of 12, 15, 16, 18, 20 mm', (material, whole, mode) => {
    const alpha = diffusivity(MATERIAL_PROPERTIES[material]);
    [12, 15, 16, 18, 20].forEach((mm, i) => {
      expect(Math.abs(diffusionSeconds(mm, alpha) - (whole[i] ?? 0))).toBeLessThan(1);
      expect(Math.abs(slowestMode(mm, alpha) - (mode[i] ?? 0))).toBeLessThan(1);
    });
  });

  it('soaks as long as a plate of layers does, worked out by finite differences, to 5 %', () => {
    const [cells, alpha] = [60, diffusivity(MATERIAL_PROPERTIES.cordierite)];
    const dx = 0.015 / cells;
    const dt = (0.4 * dx * dx) / alpha;
    let layers = Array.from({ length: cells }, () => -40); // the far face is insulated, the near one held at 0
    let t = 0;
    while ((layers[cells - 1] ?? 0) < -3) {
      const now = layers;
      layers = now.map((each, i) => {
        const near = i === 0 ? -each : (now[i - 1] ?? each);
        return each + 0.4 * (near - 2 * each + (now[i + 1] ?? each));
      });
      t += dt;
    }
    expect(soakSeconds('cordierite', 15, 40, 3) / t).toBeCloseTo(1, 1);
  });
});

describe('air gap', () => {
  // Conduction and radiation across a gap (textbook), worked by hand: faces 300 and 350 °C.
  it.each([
    [2, 62],
    [5, 49],
    [10, 44],
    [20, 42],
  ])('of %d mm passes %d W/m²K', (mm, want) =>
    expect(Math.abs(gapTransfer(mm, 300, 350) - want)).toBeLessThan(0.6),
  );

  it.each([
    [300, 337],
    [60, 307],
    [45, 300],
    [35, 294],
  ])('with %d W/m²K from below the stone settles at %d °C', (h, want) => {
    expect(Math.abs(equilibrium(h, 350, 250) - want)).toBeLessThan(0.6);
  });

  const settled = (stoneC: number, domeC: number, gapMm: number) => ({
    stoneC,
    domeC,
    stone: [255, 285] as const,
    dome: [235, 275] as const,
    setup: stoneSetup.parse({ gapMm }),
  });

  it('says by how much the stone runs over the dome, and to widen the gap', () => {
    expect(settingAdvice(settled(300, 255, 0))).toMatch(
      /^The stone runs 45 °C over the dome: widen the gap under it to about \d+ mm/,
    );
  });

  it('given a gap that takes off a small part of what is too much, does not advise it', () => {
    const texts = [240, 250, 260, 270, 280].flatMap((domeC) =>
      [5, 10, 15].map((gapMm) => settingAdvice(settled(domeC + 60, domeC, gapMm)) ?? ''),
    );
    for (const text of texts) {
      const worth = /over the dome: widen .*worth about (\d+) °C/.exec(text)?.[1];
      if (worth !== undefined) expect(Number(worth)).toBeGreaterThanOrEqual(5);
    }
    expect(texts.some((text) => text.includes('a wider gap would hardly change it'))).toBe(true);
  });

  it('does not promise what a wider gap can not give', () => {
    expect(settingAdvice(settled(320, 255, 30))).toContain('the gap is wide already');
    expect(settingAdvice(settled(330, 255, 15))).toContain('a wider gap would hardly change it: shield it');
  });

  it('says to narrow it where the stone lags, and nothing where all is well', () => {
    expect(settingAdvice(settled(240, 255, 20))).toContain('15 °C under the dome: narrow the gap');
    expect(settingAdvice(settled(270, 255, 10))).toBeNull();
    expect(settingAdvice(settled(240, 255, 20), 'F')).toContain('27 °F under the dome');
    // Scorched bases do not ask for a hotter stone, nor pale ones for a cooler.
    expect(settingAdvice({ ...settled(240, 255, 20), scorched: 2 })).toBeNull();
    expect(settingAdvice({ ...settled(320, 255, 30), scorched: -2 })).toBeNull();
    expect(settingAdvice({ ...settled(240, 255, 20), scorched: -2 })).toContain('narrow');
  });
});
