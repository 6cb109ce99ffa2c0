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

const LOOK = { channel: 'stone', surface: 'cordierite', emissivitySet: 0.95, reflected: 20 };

it('given a look that a page had to hold, it is of its own time, and sent twice it is one', async () => {
  const { session, ingest, store, clock } = openSession();
  const id = await session.startCook({});
  clock.at += 300_000;
  const held = { ...LOOK, celsius: 251, id: 'tap-0a1b2c3d', ago: 60 };
  const first = await ingest.postSpot(held);
  expect(await ingest.postSpot(held)).toMatchObject({ id: held.id, celsius: first.celsius });
  expect(store.readings(id, {}).map(({ t, quality }) => [t, quality])).toEqual([[240, 'good']]);
  expect(session.now().events).toMatchObject([{ id: held.id, event: 'look', t: 240 }]);
  store.close();
});

it('given a look that was held for ten minutes, it is listed and doubted, and the stone of now is not taken for it', async () => {
  const { session, ingest, store, clock } = openSession();
  await session.startCook({});
  clock.at += 1200_000;
  await ingest.postSpot({ ...LOOK, channel: 'dome', celsius: 250 });
  await ingest.postSpot({ ...LOOK, celsius: 200 });
  clock.at += 30_000;
  session.advance();
  const before = session.now().forecast?.stone;
  const late = await ingest.postSpot({ ...LOOK, celsius: 120, id: 'tap-0a1b2c3d', ago: 600 });
  expect(late).toMatchObject({ quality: 'uncertain', reason: expect.stringContaining('late') });
  session.advance();
  expect(session.now().forecast?.stone).toBe(before);
  expect(session.now().events.map(({ event }) => event)).toEqual(['look', 'look', 'look']);
  await expect(ingest.postSpot({ ...LOOK, celsius: 120, ago: 4 })).resolves.toMatchObject({
    quality: 'good',
  });
  store.close();
});

it('given a look that was held and no cook any more, it begins none', async () => {
  const { session, ingest, store } = openSession();
  await expect(ingest.postSpot({ ...LOOK, celsius: 251, ago: 60 })).rejects.toThrow('No cook is running');
  expect(session.now().cook).toBeNull();
  store.close();
});
