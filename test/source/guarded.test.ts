import { describe, expect, it } from 'vitest';
import { guarded, MAX_FRAMES, MAX_OF_DEVICE, STOP_TIMEOUT_MS } from '../../server/source/guarded.ts';
import type { FrameBody, Source, SourceEvents, SourceStatus } from '../../server/source/source.ts';
import { DeviceRegistry } from '../../server/cook/probes/device-registry.ts';
import { openSession } from '../support/session.ts';
import { FakeClock } from './fake-clock.ts';

const DEVICE = 'd0:0d:00:00:00:01';
const OTHER = 'd0:0d:00:00:00:02';
/** 270.5 °C as a Health Thermometer says it (Bluetooth SIG, Health Thermometer Service). */
const frame: FrameBody = {
  source: 'ble',
  device: DEVICE,
  service: '1809',
  characteristic: '2a1c',
  bytes: '00910a00ff',
};
const probe = {
  id: 'p',
  channel: 'stone',
  name: 'Stone',
  address: { source: 'ble', device: DEVICE, service: '1809', characteristic: '2a1c' },
} as const;
const domeProbe = { ...probe, id: 'd', channel: 'dome', address: { ...probe.address, device: OTHER } };

/** A source that misbehaves as a test says, behind the guard, in a server's inside. */
function world(faults: Partial<Source> = {}) {
  const bench = openSession();
  const clock = new FakeClock();
  let events: SourceEvents | null = null;
  const bad: Source = {
    kind: 'ble',
    start: (given) => (events = given),
    subscribe: () => {},
    look: () => {},
    stop: () => Promise.resolve(),
    ...faults,
  };
  let failing = false;
  const registry = new DeviceRegistry({
    sources: [guarded(bad, clock)],
    clock: bench.clock,
    cook: {
      frame: (body) => {
        if (failing) throw new Error('the disk is on fire');
        bench.ingest.frame(body);
      },
      useSources: () => {},
    },
  });
  bench.store.putProbe({ ...probe });
  bench.store.putProbe({ ...domeProbe });
  registry.subscribe(bench.store.probes());
  return {
    ...bench,
    registry,
    time: clock,
    says: (body: FrameBody = frame) => events?.frame(body),
    tells: (status: SourceStatus) => events?.status(status),
    fail: (isFailing: boolean) => (failing = isFailing),
    stoneNow: () => bench.session.now().channels.find((channel) => channel.id === 'stone')?.celsius,
  };
}

const THROWS = (): never => {
  throw new Error('no such adapter');
};

describe('a source that breaks its port', () => {
  it.each(['start', 'subscribe'] as const)(
    'that throws from %s is reported, and nothing else stops',
    (verb) => {
      const { registry } = world({ [verb]: THROWS });
      expect(registry.sources()).toMatchObject([
        { source: 'ble', state: 'failed', problem: 'It broke down (no such adapter).' },
      ]);
    },
  );

  it('by hanging when it is to stop does not keep the server from its end', async () => {
    const { registry, time } = world({ stop: () => new Promise(() => {}) });
    let ended = false;
    const end = registry.stop().then(() => (ended = true));
    await time.pass(STOP_TIMEOUT_MS - 1);
    expect(ended).toBe(false);
    await time.pass(1);
    await end;
  });

  it('given a source that throws as it is stopped, stops the others all the same', async () => {
    await expect(world({ stop: () => Promise.reject(new Error('busy')) }).registry.stop()).resolves.toBe(
      undefined,
    );
  });

  it('given one device that floods, reads it at a bounded pace, and every frame of the other device', async () => {
    const { registry, says, tells, time, store, stoneNow } = world();
    const devices = [DEVICE, OTHER].map((id) => ({ id, link: 'connected' as const }));
    tells({ source: 'ble', state: 'running', devices });
    for (let second = 0; second < 20; second++) {
      for (let n = 0; n < 2 * MAX_FRAMES; n++) says();
      says({ ...frame, device: OTHER });
      await time.pass(1000);
    }
    const count = (channel: string): number => store.readings(1, { channel }).length;
    expect([count('stone'), count('dome')]).toEqual([20 * MAX_OF_DEVICE, 20]);
    expect(registry.sources()[0]).toMatchObject({ state: 'running' });
    const problemOf = (id: string) => registry.view(false).devices.find((each) => each.id === id)?.problem;
    expect([problemOf(DEVICE), problemOf(OTHER)]).toEqual([expect.stringContaining('50'), undefined]);
    await time.pass(5000);
    says();
    expect([problemOf(DEVICE), stoneNow()]).toEqual([undefined, 270.5]);
  });

  it('given many devices that flood together, takes a bounded part, says so, and hears them again when they are calm', async () => {
    const { registry, says, tells, time } = world();
    tells({ source: 'ble', state: 'running', devices: [] });
    const many = Array.from({ length: (2 * MAX_FRAMES) / MAX_OF_DEVICE }, (_, i) => `device ${i}`);
    for (const device of many) for (let n = 0; n < MAX_OF_DEVICE; n++) says({ ...frame, device });
    expect(registry.sources()[0]).toMatchObject({
      state: 'failed',
      problem: expect.stringContaining('5000'),
    });
    for (let second = 0; second < 5; second++) {
      await time.pass(1000);
      says();
    }
    expect(registry.sources()[0]).toMatchObject({ state: 'running' });
  });

  it('given garbled frames, makes no reading and goes on', () => {
    const { says, store, stoneNow } = world();
    const damaged = ['', '00', 'zz', '0091', 'ff'.repeat(600), '00910a00ff00'.repeat(9)];
    for (const bytes of damaged) says({ ...frame, bytes });
    says();
    expect(stoneNow()).toBe(270.5);
    const values = store.readings(1, {}).map((each) => each.celsius);
    expect(values.filter((value) => value !== null && value !== 270.5)).toEqual([]);
  });

  it('is not to blame when what it says cannot be taken: that is told, and the next is taken', () => {
    const { registry, says, fail, stoneNow } = world();
    fail(true);
    expect(() => says()).not.toThrow();
    expect(registry.sources()[0]?.problem).toContain('the disk is on fire');
    fail(false);
    says();
    expect(stoneNow()).toBe(270.5);
  });
});
