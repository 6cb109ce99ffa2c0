import { expect, it } from 'vitest';
import type { LiveChannel } from '../../../../shared/api/live.ts';
import { qualityWords } from '../../../../web/stores/derive/quality-words.ts';
import { channel } from '../../support/now.ts';

it('given a doubtful or missing reading, says why, in the unit of the person', () => {
  const stone = channel('stone', 270, { quality: 'uncertain', reason: 'stuck: exactly 270 °C for 5 min' });
  const now = { age: 2, stale: false };
  expect(qualityWords(stone, now, 'C')).toBe('doubtful: stuck: exactly 270 °C for 5 min');
  expect(qualityWords(stone, now, 'F')).toBe('doubtful: stuck: exactly 518 °F for 5 min');
  expect(qualityWords(stone, { age: 90, stale: true }, 'C')).toMatch(/^old: silent for/);
  expect(qualityWords(stone, { age: 0.4, stale: true }, 'C')).toBe('old: silent now');
  const open = channel('stone', null, { reason: 'open circuit' });
  expect(qualityWords(open, { age: 1, stale: false }, 'C')).toBe('no value: open circuit');
  expect(qualityWords(open, { age: null, stale: true }, 'C')).toBe('no reading yet');
});

it('given an estimate, says whether a person looks now and then or a probe has gone silent', () => {
  const words = (over: Partial<LiveChannel>) =>
    qualityWords(channel('stone', 262, { isEstimate: true, ...over }), { age: 240, stale: false }, 'C');
  expect(words({ source: 'spot' })).toBe('looked at 4 min ago');
  for (const source of ['http', 'ble', 'serial', 'replay'] as const)
    expect(words({ source })).toBe('probe silent for 4 min: estimated');
  // Posted now and then, or once: nobody knows whether there is a probe behind it.
  expect(words({ source: 'http', every: 300 })).toBe('estimated; last read 4 min ago');
  expect(words({ source: 'http', every: null })).toBe('estimated; last read 4 min ago');
});
