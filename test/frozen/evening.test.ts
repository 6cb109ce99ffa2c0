import { describe, it } from 'vitest';
import { exportCook } from '../../server/cook/portable/cook-export.ts';
import type { Now } from '../../shared/api/live.ts';
import { playLive } from '../support/live-cook.ts';
import { openSession } from '../support/session.ts';
import { digest, expectFrozen, plain } from './frozen.ts';

const MOMENTS = 10;
/** Of the recording, s: from the fire to the last pizza. */
const LENGTH = 7000;

/** The live document, a member a line; the curves of the forecast as a digest. */
function linesOf(now: Now): string {
  const { forecast, ...rest } = now;
  const { curves = null, ...short } = forecast ?? {};
  const members = { ...rest, forecast: forecast && { ...short, curves: digest(plain(curves)) } };
  return Object.entries(members)
    .map(([name, value]) => `${name}: ${plain(value)}\n`)
    .join('');
}

describe('a good evening, played live by a person who taps', () => {
  it('shows at ten moments what it showed', async () => {
    const bench = openSession();
    const shown: string[] = [];
    await playLive(bench, 'good-evening', ({ t }) => {
      if (shown.length < MOMENTS && t >= ((shown.length + 1) * LENGTH) / MOMENTS)
        shown.push(linesOf(bench.session.now()));
    });
    expectFrozen('now', shown.join('\n'));
  });

  it('is exported as it was', async () => {
    const bench = openSession();
    const id = await playLive(bench, 'good-evening');
    bench.session.endCook();
    const texts = (['jsonl', 'csv'] as const).map((format) => {
      const lines = [...exportCook(bench.store, id, format)];
      const shown = [...lines.slice(0, 3), ...lines.filter((line) => line.includes('"event"'))];
      return `${format} ${lines.length} lines ${digest(lines.join(''))}\n${shown.join('')}`;
    });
    expectFrozen('export', texts.join('\n'));
  });
});
