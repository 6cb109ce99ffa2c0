import { expect, it } from 'vitest';
import { openSession } from '../../support/session.ts';

it('given the shipped rehearsal, played, warns of no bake: dome and lid are as usual', async () => {
  const { session, clock } = openSession();
  await session.rehearse('good-evening', 120);
  const warned: string[] = [];
  const seen = new Set<string>();
  while (session.player?.ended === false) {
    clock.at += 250;
    session.advance();
    for (const { pizza, warning } of session.now().guides) {
      seen.add(pizza);
      if (warning) warned.push(warning.text);
    }
  }
  expect(seen.size).toBe(5);
  expect(warned).toEqual([]);
});
