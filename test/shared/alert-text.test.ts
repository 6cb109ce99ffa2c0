import { readFileSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { TRUST_RULES } from '../../server/ingest/quality.ts';
import { SURFACES } from '../../shared/evening/surface.ts';
import { alertText } from '../../shared/alert/text.ts';
import { textInUnit } from '../../shared/text/in-unit.ts';
import { ALERTS, type AlertName } from '../../shared/alert/kinds.ts';

type Line = { type: string; alert: AlertName; message: string; why: Record<string, number | string> };

const frozen = fileURLToPath(new URL('../frozen/expected/', import.meta.url));
const lines = readdirSync(frozen)
  .filter((file) => file.startsWith('analyse-'))
  .flatMap((file) => readFileSync(frozen + file, 'utf8').split('\n'))
  .filter((line) => line.startsWith('{'))
  .map((line): Line => JSON.parse(line));
const alerts = lines.filter(({ type }) => type === 'alert');

describe('what alerts say', () => {
  it('given the alerts of the shipped recordings, in °C it is their own message', () => {
    expect(new Set(alerts.map(({ alert }) => alert)).size).toBeGreaterThan(6);
    for (const { alert, why, message } of alerts) expect(alertText(alert, why, 'C')).toBe(message);
  });

  it('given the same in °F, no °C is left and the numbers are converted once', () => {
    for (const { alert, why } of alerts) expect(alertText(alert, why, 'F')).not.toContain('°C');
    const overshot = { stone: 300, over: 15, high: 285 };
    expect(alertText('overshot', overshot, 'F')).toMatch(/^Stone too hot: 572 °F, 27 °F over\./);
  });

  it('given a pizza with a name, names it', () => {
    const why = { onFor: 451, onForText: '7:31' };
    expect(alertText('off-due', why, 'C', 'Ada’s Marinara')).toBe(
      'Take off Ada’s Marinara: 7:31 on the stone.',
    );
    expect(alertText('turn-due', why, 'C')).toBe('Turn the pizza: 7:31 on the stone.');
  });

  it('given numbers that were not kept, says nothing rather than half a sentence', () => {
    for (const alert of ALERTS) expect(alertText(alert, {}, 'C')).toBeNull();
  });
});

it('given the advice of the shipped recordings, the rules of trust and the doubts of surfaces, no °C is left in °F', () => {
  const advice = (lines as unknown as { type: string; why: string }[]).flatMap(({ type, why }) =>
    type === 'advice' ? [why] : [],
  );
  const doubts = SURFACES.flatMap((surface) => ('doubt' in surface && surface.doubt ? [surface.doubt] : []));
  const texts = [...advice, ...TRUST_RULES.map(({ when }) => when), ...doubts];
  expect(texts.filter((text) => text.includes('°C')).length).toBeGreaterThan(10);
  for (const text of texts) expect(textInUnit(text, 'F')).not.toContain('°C');
  expect(textInUnit(TRUST_RULES.find(({ rule }) => rule === 'stuck')?.when ?? '', 'F')).toContain('by 45 °F');
});
