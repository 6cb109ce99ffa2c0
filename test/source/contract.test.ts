import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BleSource } from '../../server/source/ble/ble.ts';
import { SerialSource } from '../../server/source/serial/serial.ts';
import type { Source } from '../../server/source/source.ts';
import { bleLine, serialLine } from '../../shared/recording.ts';
import type { Want } from '../../server/source/want.ts';
import { startAir } from '../air/air.ts';
import { buildChild } from '../air/child.ts';
import { FakeSource } from './fake-source.ts';
import { layCable } from './serial/pty.ts';
import { Watch } from './watch.ts';

/** A source with one device in reach, which speaks a few times a second while it is asked. */
type World = { source: Source; want: Want; id: string; close(): Promise<void> };

async function fakeWorld(): Promise<World> {
  const id = 'd0:00:00:00:00:01';
  const source = new FakeSource(id);
  const speaking = setInterval(
    () => source.say({ source: 'ble', device: id, characteristic: '2a6e', bytes: '7869' }),
    50,
  );
  return {
    source,
    want: { source: 'ble', device: id },
    id,
    close: async () => clearInterval(speaking),
  };
}

async function bleWorld(): Promise<World> {
  const air = await startAir({ peripherals: [{ kind: 'health', name: 'Lance', celsius: 270, every: 100 }] });
  const id = air.peripheral('Lance').address;
  const source = new BleSource({ child: await buildChild(), env: air.env });
  return { source, want: { source: 'ble', device: id }, id, close: () => air.close() };
}

async function serialWorld(): Promise<World> {
  const cable = await layCable();
  const speaking = setInterval(() => void cable.write('stone=270.5\r\n').catch(() => {}), 50);
  return {
    source: new SerialSource({ extra: [cable.port] }),
    want: { source: 'serial', port: cable.port },
    id: cable.port,
    close: async () => {
      clearInterval(speaking);
      await cable.close();
    },
  };
}

describe.each([
  ['a fake', fakeWorld],
  ['Bluetooth', bleWorld],
  ['serial ports', serialWorld],
])('the port of a source, by %s', (_name, makeWorld) => {
  let world: World;
  const watch = new Watch();
  beforeAll(async () => {
    world = await makeWorld();
  });
  afterAll(async () => {
    await world.source.stop();
    await world.close();
  });
  const isLinked = (): boolean => watch.device(world.id)?.link === 'connected';

  it('starts at once, twice as well as once, and lists what is in reach without connecting', async () => {
    world.source.start(watch);
    world.source.start(new Watch());
    await watch.until('it runs', () => watch.last?.state === 'running' && watch.device(world.id));
    expect(watch.last?.source).toBe(world.source.kind);
    expect(watch.device(world.id)?.link).toBe('seen');
  });

  it('delivers frames, as the recordings have them, of what it is looked at for a while', async () => {
    watch.forget();
    world.source.look(world.want, 2);
    await watch.until('frames come', () => watch.frames.length > 2);
    for (const frame of watch.frames) {
      const schema = frame.source === 'ble' ? bleLine : serialLine;
      expect(schema.safeParse({ ...frame, t: 0 }).success).toBe(true);
    }
    await watch.until('it is let go', () => watch.device(world.id)?.link === 'seen');
  });

  it('delivers frames of what is wanted until it is not wanted any more', async () => {
    world.source.want([world.want]);
    await watch.until('it is linked', isLinked);
    watch.forget();
    await watch.until('frames come', () => watch.frames.length > 2);
    world.source.want([]);
    await watch.until('it is let go', () => watch.device(world.id)?.link === 'seen');
  });

  it('ignores what is meant for another transport', () => {
    const other: Want =
      world.want.source === 'ble' ? { source: 'serial', port: 'x' } : { source: 'ble', device: 'x' };
    world.source.want([other]);
    world.source.look(other, 1);
    expect(watch.device('x')).toBeUndefined();
  });

  it('says nothing any more once it is stopped, and starts anew, still knowing nothing', async () => {
    world.source.want([world.want]);
    await watch.until('it is linked', isLinked);
    await world.source.stop();
    expect(watch.last).toMatchObject({ state: 'off', devices: [] });
    const told = [watch.frames.length, watch.statuses.length];
    const second = new Watch();
    world.source.start(second);
    world.source.want([world.want]);
    await second.until('frames come', () => second.frames.length > 2);
    expect([watch.frames.length, watch.statuses.length]).toEqual(told);
  });
});
