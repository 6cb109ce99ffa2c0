import { describe, expect, it } from 'vitest';
import { BOTH, HEALTH, MADE_UP, subscriptionTo } from './peripherals.ts';
import { fakeBle, linked, sourceOn } from './setting.ts';

describe('Bluetooth on the virtual air, against bleno', () => {
  it('lists what is in reach by itself, connecting to none of it', async () => {
    const fake = await fakeBle(HEALTH, BOTH);
    const { watch } = sourceOn(fake.env);
    await watch.until('both are listed by name', () =>
      ['Lance', 'Both'].every((name) => watch.last?.devices.some((device) => device.name === name)),
    );
    const lance = watch.device(fake.peripheral('Lance').address);
    expect(lance).toMatchObject({ link: 'seen', rssi: -60 });
    expect(lance?.parts).toContainEqual({ service: '1809' });
    expect(fake.adapter.links).toBe(0);
  });

  it('delivers a health thermometer by indication and notification, with its battery', async () => {
    const { watch, addresses } = await linked(HEALTH);
    const [device] = addresses;
    // Bluetooth SIG, Health Thermometer Service: 270.5 °C
    await watch.frameWith({ device, service: '1809', characteristic: '2a1c', bytes: '00910a00ff' });
    await watch.frameWith({ device, service: '1809', characteristic: '2a1e', bytes: '00910a00ff' });
    await watch.until('the battery is known', () => watch.device(device ?? '')?.battery === 64);
  });

  it('tells two temperatures of one device apart and names them', async () => {
    const { fake, watch, addresses } = await linked(BOTH);
    const [device = ''] = addresses;
    // Bluetooth SIG, GATT Specification Supplement: 270.00 and 300.00 °C
    await watch.frameWith({ device, characteristic: '2a6e', instance: 0, bytes: '7869' });
    await watch.frameWith({ device, characteristic: '2a6e', instance: 1, bytes: '3075' });
    await watch.until(
      'both are named',
      () => watch.device(device)?.parts?.filter((part) => part.name !== undefined).length === 2,
    );
    expect(watch.device(device)?.parts).toContainEqual({
      service: '181a',
      characteristic: '2a6e',
      instance: 1,
      name: 'Dome',
      format: '0efe2f27010000',
    });
    fake.peripheral('Both').setTemperatures(-10, 327.67);
    await watch.frameWith({ device, characteristic: '2a6e', instance: 0, bytes: '18fc' });
    await watch.frameWith({ device, characteristic: '2a6e', instance: 1, bytes: 'ff7f' });
  });

  it('reads what can not notify, over and over', async () => {
    const { fake, watch, addresses } = await linked({ ...BOTH, silentRead: true });
    await watch.frameWith({ device: addresses[0], instance: 1, bytes: '3075' });
    fake.peripheral('Both').setTemperatures(270, 299);
    await watch.frameWith({ device: addresses[0], instance: 1, bytes: 'cc74' });
  });

  it('hears broadcasts without a connection', async () => {
    const fake = await fakeBle({
      kind: 'bthome',
      name: 'Home',
      every: 150,
      temperatures: [{ celsius: 265 }, { celsius: 270.3 }],
    });
    const { source, watch } = sourceOn(fake.env);
    const device = fake.peripheral('Home').address;
    source.subscribe([subscriptionTo(device, { advert: 'fcd2' })]);
    const frame = await watch.frameWith({ device, advert: 'fcd2' });
    // Info byte, packet id, battery, then 265.0 and 270.3 °C as the BTHome v2 format has them
    expect(frame).toMatchObject({ rssi: -60, bytes: expect.stringMatching(/^4000..0157455a0a458f0a$/) });
    await watch.until(
      'a changed one came',
      () => new Set(watch.frames.map((f) => 'bytes' in f && f.bytes)).size > 3,
    );
    expect(fake.adapter.links).toBe(0);
  });

  it('hears a made-up device by a mapping: custom characteristic, started by a command', async () => {
    const fake = await fakeBle(MADE_UP);
    const { source, watch } = sourceOn(fake.env);
    const device = fake.peripheral('Board').address;
    const mapping = {
      service: 'A3C80001-B5E6-4C1E-9C4F-3D2E5F6A7B80',
      characteristic: 'a3c80002-b5e6-4c1e-9c4f-3d2e5f6a7b80',
      start: '01',
      startAt: 'a3c80003-b5e6-4c1e-9c4f-3d2e5f6a7b80',
    };
    source.subscribe([subscriptionTo(device, mapping)]);
    // 2613 tenths, big-endian, after one byte of something else
    await watch.frameWith({ device, characteristic: 'a3c80002b5e64c1e9c4f3d2e5f6a7b80', bytes: 'aa0a35' });
    // Nobody is subscribed to it any more.
    source.subscribe([]);
    await watch.until('it is let go', () => watch.device(device)?.link === 'seen');
    expect(fake.adapter.links).toBe(0);
  });

  it('says what a mapping names and the device has not', async () => {
    const fake = await fakeBle(HEALTH);
    const { source, watch } = sourceOn(fake.env);
    const device = fake.peripheral('Lance').address;
    source.subscribe([subscriptionTo(device, { service: '1809', characteristic: 'abcd' })]);
    await watch.until('it says so', () => watch.device(device)?.problem === 'It has no characteristic abcd.');
  });

  it('looks at a device for a while and lets it go', async () => {
    const fake = await fakeBle(HEALTH);
    const { source, watch } = sourceOn(fake.env);
    const device = fake.peripheral('Lance').address;
    await watch.until('it runs', () => watch.last?.state === 'running');
    // As long as it takes on a busy machine; each look is for a while.
    const look = (): void => source.look(subscriptionTo(device), 2);
    look();
    const looking = setInterval(look, 500);
    await watch.frameWith({ device, characteristic: '2a1c' });
    clearInterval(looking);
    await watch.until('it is let go', () => watch.device(device)?.link === 'seen');
    expect(fake.adapter.links).toBe(0);
  });

  it("delivers a doubled notification twice: what to make of it is not the source's", async () => {
    const { fake, watch, addresses } = await linked(BOTH);
    fake.peripheral('Both').duplicate(true);
    fake.peripheral('Both').setTemperatures(100, 300);
    await watch.frameWith({ device: addresses[0], instance: 0, bytes: '1027' });
    await watch.until(
      'it came again',
      () => watch.frames.filter((frame) => 'bytes' in frame && frame.bytes === '1027').length > 1,
    );
  });
});

describe('a machine without a radio for us', () => {
  it.each([
    ['eafnosupport', 'kernel', 'modprobe'],
    ['enodev', 'no Bluetooth adapter', 'Plug one in'],
    ['eperm', 'may not use', 'sudo setcap cap_net_raw+eip /'],
  ] as const)('given %s, says what it means and how to fix it', async (fault, problem, remedy) => {
    const fake = await fakeBle();
    fake.adapter.fault(fault);
    const { watch } = sourceOn(fake.env);
    await watch.until('it failed', () => watch.last?.state === 'failed');
    expect(watch.last?.problem).toContain(problem);
    expect(watch.last?.remedy).toContain(remedy);
  });

  it('begins by itself once an adapter is plugged in', async () => {
    const fake = await fakeBle(HEALTH);
    fake.adapter.fault('enodev');
    const { watch } = sourceOn(fake.env);
    await watch.until('it failed', () => watch.last?.state === 'failed');
    fake.adapter.fault(null);
    await watch.until('it hears', () => watch.device(fake.peripheral('Lance').address)?.name === 'Lance');
    expect(watch.last).toMatchObject({ state: 'running' });
    expect(watch.last?.problem).toBeUndefined();
  });

  it('works on this very machine, or says what it lacks', async () => {
    const { watch } = sourceOn({});
    await watch.until('it settled', () => watch.last?.state === 'running' || watch.last?.state === 'failed');
    if (watch.last?.state === 'failed')
      expect(watch.last).toMatchObject({ problem: expect.any(String), remedy: expect.any(String) });
  });
});

it('finds its devices again after a restart of the server', async () => {
  const { fake, source, addresses } = await linked(HEALTH, BOTH);
  await source.stop();
  expect(fake.adapter.links).toBe(0);
  const second = sourceOn(fake.env);
  second.source.subscribe(addresses.map((address) => subscriptionTo(address)));
  await second.watch.frameWith({ device: addresses[0], characteristic: '2a1c' });
  await second.watch.frameWith({ device: addresses[1], characteristic: '2a6e' });
});
