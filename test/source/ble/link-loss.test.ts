import { describe, expect, it, vi } from 'vitest';
import { BOTH, HEALTH, subscriptionTo } from './peripherals.ts';
import { WITHIN, fakeBle, linked, sourceOn } from './setting.ts';

describe('what goes wrong on the air', () => {
  it('tells a lost link and takes it up again by itself', async () => {
    const { fake, watch, addresses } = await linked(HEALTH);
    const [device = ''] = addresses;
    watch.forget();
    fake.peripheral('Lance').drop();
    await watch.until('it says so', () =>
      watch.statuses.some((s) => s.devices.some((d) => d.link === 'lost')),
    );
    watch.forget();
    await watch.frameWith({ device, characteristic: '2a1c' });
    expect(watch.device(device)?.problem).toBeUndefined();
  });

  it('waits for a device that went out of range, and takes it up when it is back', async () => {
    const { fake, watch, addresses } = await linked(HEALTH, BOTH);
    const [device = '', other = ''] = addresses;
    fake.peripheral('Lance').away(true);
    await watch.until('it is lost', () => watch.device(device)?.link === 'lost');
    watch.forget();
    await watch.frameWith({ device: other, characteristic: '2a6e' });
    fake.peripheral('Lance').away(false);
    await watch.frameWith({ device, characteristic: '2a1c' });
  });

  it('hears nothing over a silent link that stands, and hears again after', async () => {
    const { fake, watch, addresses } = await linked(HEALTH, BOTH);
    const [device = '', other = ''] = addresses;
    const isOf = (address: string) => (frame: object) => 'device' in frame && frame.device === address;
    await watch.frameWith({ device, characteristic: '2a1e' });
    await watch.frameWith({ device: other, characteristic: '2a6e' });
    fake.peripheral('Lance').silence(true);
    // What was in flight has arrived when the other has spoken twice.
    await watch.until('the other spoke', () => (watch.frames = watch.frames.slice(-40)).length > 12);
    watch.forget();
    await watch.until('the other spoke more', () => watch.frames.filter(isOf(other)).length > 6);
    expect(watch.frames.filter(isOf(device))).toEqual([]);
    expect(watch.device(device)?.link).toBe('connected');
    fake.peripheral('Lance').silence(false);
    await watch.frameWith({ device, characteristic: '2a1e' });
  });

  // Whether noble 1.9.2-26 ends the process on it, as measured.
  it.each([
    ['a notification without a handle', '1b', true],
    ['an empty packet', '', false],
    ['an indication that ends early', '1d05', true],
  ])("loses no more than the radio's process to %s", async (_what, garbled, ends) => {
    const { fake, watch, addresses } = await linked(BOTH);
    await watch.frameWith({ device: addresses[0], characteristic: '2a19' });
    const before = fake.adapter.pid;
    fake.peripheral('Both').garble(Buffer.from(garbled, 'hex'));
    if (ends) await vi.waitUntil(() => fake.adapter.pid !== before, WITHIN);
    watch.forget();
    await watch.frameWith({ device: addresses[0], characteristic: '2a6e', instance: 1 });
    expect(watch.last?.state).toBe('running');
  });

  it('replaces a process that hangs, ends the links it left, and hears again', async () => {
    const { fake, watch, addresses } = await linked(HEALTH);
    const before = fake.adapter.pid;
    watch.forget();
    process.kill(before, 'SIGSTOP');
    await watch.until('it is told as lost', () => watch.device(addresses[0] ?? '')?.link === 'lost');
    await vi.waitUntil(() => fake.adapter.pid !== before, WITHIN);
    watch.forget();
    await watch.frameWith({ device: addresses[0], characteristic: '2a1c' });
  });

  it('goes on after the adapter was switched off and on', async () => {
    const { fake, watch, addresses } = await linked(HEALTH);
    fake.adapter.power(false);
    await watch.until('it says that it is off', () => watch.last?.problem?.includes('switched off'));
    expect(watch.last?.state).toBe('failed');
    expect(watch.last?.remedy).toContain('bluetoothctl power on');
    fake.adapter.power(true);
    watch.forget();
    await watch.frameWith({ device: addresses[0], characteristic: '2a1c' });
    expect(watch.last?.state).toBe('running');
  });

  it('scans again after another program stopped the scan', async () => {
    const fake = await fakeBle(HEALTH);
    const { watch } = sourceOn(fake.env);
    await watch.until('it scans', () => watch.last?.state === 'running' && fake.adapter.isScanning);
    fake.adapter.stopScan();
    expect(fake.adapter.isScanning).toBe(false);
    await vi.waitUntil(() => fake.adapter.isScanning, WITHIN);
  });

  it('keeps no more devices than it can hold when addresses rotate', async () => {
    const fake = await fakeBle(HEALTH);
    const { watch } = sourceOn(fake.env);
    await watch.until('it scans', () => fake.adapter.isScanning && watch.last?.state === 'running');
    for (let i = 0; i < 1000; i += 1) {
      const tail = i.toString(16).padStart(4, '0');
      fake.broadcast(
        `7a:00:00:00:${tail.slice(0, 2)}:${tail.slice(2)}`,
        Buffer.from(`06ff4c00${tail}00`, 'hex'),
      );
    }
    await watch.until('the last one is listed', () => watch.device('7a:00:00:00:03:e7'));
    expect(watch.last?.devices.length).toBeLessThanOrEqual(320);
    // The sweep never removes a device that still advertises.
    expect(watch.device(fake.peripheral('Lance').address)?.link).toBe('seen');
  });

  it('makes nothing of truncated advertisements', async () => {
    const fake = await fakeBle();
    const { watch } = sourceOn(fake.env);
    await watch.until('it scans', () => fake.adapter.isScanning && watch.last?.state === 'running');
    const odd = ['0116', '0216d2', '02ff4c', '0a16d2fc40', '1f16d2fc4000', '00', '03', '0816d2fc40004511'];
    for (const [i, hex] of odd.entries()) fake.broadcast(`00:00:00:00:0b:0${i}`, Buffer.from(hex, 'hex'));
    fake.broadcast('00:00:00:00:0c:00', Buffer.from('0816d2fc4045110100', 'hex'));
    await watch.frameWith({ device: '00:00:00:00:0c:00', advert: 'fcd2', bytes: '4045110100' });
    expect(watch.frames).toHaveLength(1);
    expect(watch.last?.state).toBe('running');
  });

  it('does not let one that accepts no connection keep the others from theirs', async () => {
    const fake = await fakeBle(HEALTH, BOTH);
    const { source, watch } = sourceOn(fake.env);
    const [stuck, other] = [fake.peripheral('Lance'), fake.peripheral('Both')];
    stuck.refuse(true);
    await watch.until('both are heard', () => watch.device(stuck.address) && watch.device(other.address));
    source.subscribe([subscriptionTo(stuck.address)]);
    await watch.until('it is tried', () => watch.device(stuck.address)?.link === 'connecting');
    source.subscribe([subscriptionTo(stuck.address), subscriptionTo(other.address)]);
    await watch.frameWith({ device: other.address, characteristic: '2a6e' });
    stuck.refuse(false);
    await watch.frameWith({ device: stuck.address, characteristic: '2a1c' });
    expect(fake.adapter.links).toBe(2);
  });

  it('gives a link up over which nothing was ever answered, and makes another', async () => {
    const fake = await fakeBle(HEALTH);
    const { source, watch } = sourceOn(fake.env);
    const lance = fake.peripheral('Lance');
    lance.silence(true);
    source.subscribe([subscriptionTo(lance.address)]);
    await watch.until('the link stands', () => watch.device(lance.address)?.link === 'connected');
    await watch.until('it is given up', () => watch.device(lance.address)?.problem?.includes('no answer'));
    lance.silence(false);
    await watch.frameWith({ device: lance.address, characteristic: '2a1c' });
  });

  it.each(['SIGINT', 'SIGTERM'] as const)("goes on when %s reaches the radio's process", async (signal) => {
    const { fake, watch, addresses } = await linked(HEALTH);
    const { pid } = fake.adapter;
    process.kill(pid, signal);
    watch.forget();
    await watch.until('it went on speaking', () => watch.frames.length > 10);
    expect(fake.adapter.pid).toBe(pid);
    expect(watch.device(addresses[0] ?? '')?.link).toBe('connected');
  });
});
