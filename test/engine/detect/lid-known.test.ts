import { expect, test } from 'vitest';
import { engine } from '../../../server/engine/cook-engine.ts';
import type { EngineInput } from '../../../shared/engine.ts';
import { fresh, run } from '../evening.ts';

const dome = (from: number, to: number): EngineInput[] =>
  Array.from({ length: (to - from) / 2 }, (_, i) => ({
    kind: 'reading',
    t: from + 2 * i,
    channel: 'dome',
    celsius: 250,
    quality: 'good',
  }));

test('given no dome that is measured, the lid is unknown and not shut; tapped open, it is open', () => {
  const state = fresh();
  expect(engine.view(state).lid).toBe('unknown');
  run(state, dome(0, 300));
  expect(engine.view(state).lid).toBe('shut');
  run(state, [{ kind: 'tick', t: 500 }]);
  expect(engine.view(state).lid).toBe('unknown');
  run(state, [{ kind: 'event', t: 510, event: { event: 'lid-open' } }]);
  expect(engine.view(state).lid).toBe('open');
});
