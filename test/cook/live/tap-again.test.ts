import { expect, it } from 'vitest';
import { openSession } from '../../support/session.ts';

it('given the same tap sent twice, it happened once', async () => {
  const { session, commands } = openSession();
  await session.startCook({});
  const tap = { event: 'launch', id: 'tap-0a1b2c3d' } as const;
  const first = await commands.posted(tap);
  expect(first.id).toBe(tap.id);
  expect(await commands.posted(tap)).toEqual(first);
  expect(session.now().events.filter(({ event }) => event === 'launch')).toHaveLength(1);
  expect(session.now().onStone).toHaveLength(1);
});

it("given an event with an id of the server's own kind, the server gives another", async () => {
  const { session, commands } = openSession();
  await session.startCook({});
  const given = await commands.posted({ event: 'vent', id: 'e77' });
  const again = await commands.posted({ event: 'vent', id: 'e77' });
  expect(given.id).not.toBe('e77');
  expect(again.id).not.toBe(given.id);
});
