import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { decoderFor } from '../../server/decoder/decoder-list.ts';
import { BleSource } from '../../server/source/ble/ble.ts';
import { checkBluetooth, checkSerial } from '../../server/source/source-checks.ts';
import { scan, worthALook } from '../../server/source/device-scan.ts';
import { SerialSource } from '../../server/source/serial/serial.ts';
import type { Source } from '../../server/source/source.ts';
import { subscriptionOf } from '../../server/source/subscription.ts';
import { startFakeBle, type FakeBle, type PeripheralSpec } from '../fake-ble-controller/fake-controller.ts';
import { buildChild } from '../fake-ble-controller/child.ts';
import { layCable } from './serial/pty.ts';
import { BOTH, HEALTH } from './ble/peripherals.ts';

async function radioOn(...peripherals: PeripheralSpec[]): Promise<{ fake: FakeBle; source(): BleSource }> {
  const fake = await startFakeBle({ peripherals });
  const child = await buildChild();
  return { fake, source: () => new BleSource({ child, env: fake.env }) };
}

type Result = Awaited<ReturnType<typeof scan>>;

/** A scan ends by the wall clock: on a busy machine it is given longer, until it is complete. */
async function scanUntil(complete: (result: Result) => boolean, sources: () => Source[]): Promise<Result> {
  let result: Result = { rows: [], errors: [] };
  for (const seconds of [3, 9, 27]) {
    result = await scan({ sources: sources(), seconds, decoderFor });
    if (complete(result)) break;
  }
  return result;
}

describe('peelside scan', () => {
  it('lists thermometers in reach with what each offers, and nothing else that advertises', async () => {
    const { fake, source } = await radioOn(
      HEALTH,
      BOTH,
      { kind: 'bthome', name: 'Home', every: 200, temperatures: [{ celsius: 265 }, { celsius: 270.3 }] },
      { kind: 'made-up', name: 'Board', celsius: 20 },
    );
    const { rows, errors } = await scanUntil(
      (found) => found.rows.flatMap((row) => row.offers).length >= 5 && found.rows.some((row) => row.battery),
      () => [source()],
    );
    expect(errors).toEqual([]);
    const offersOf = (name: string) => rows.find((row) => row.name === name);
    expect(rows.map((row) => row.name).toSorted()).toEqual(['Both', 'Home', 'Lance']);
    expect(offersOf('Lance')).toMatchObject({ transport: 'ble', rssi: -60, battery: 64 });
    expect(offersOf('Lance')?.offers).toContainEqual(
      expect.objectContaining({ decoder: 'health-thermometer', celsius: 270.5 }),
    );
    expect(offersOf('Both')?.offers).toEqual([
      { decoder: 'environmental-sensing', label: 'Stone', celsius: 270 },
      { decoder: 'environmental-sensing', label: 'Dome', celsius: 300 },
    ]);
    expect(offersOf('Home')?.offers.map((offer) => offer.celsius)).toEqual([265, 270.3]);
    expect(fake.adapter.links).toBe(0);
  });

  it('lists serial ports, and what is wrong with a transport', async () => {
    const cable = await layCable();
    const { fake, source } = await radioOn();
    fake.adapter.fault('enodev');
    const { rows, errors } = await scanUntil(
      (found) => found.rows.length > 0 && found.errors.length > 0,
      () => [source(), new SerialSource({ extra: [cable.port] })],
    );
    expect(rows).toContainEqual({ transport: 'serial', id: cable.port, name: 'port', offers: [] });
    expect(errors).toMatchObject([{ transport: 'ble', problem: 'There is no Bluetooth adapter.' }]);
  });

  it('looks at what advertises a thermometer and at USB ports, not at what is in use or failing', () => {
    const parts = [{ service: '1809' }];
    expect(worthALook({ id: 'a', link: 'seen', parts })).toBe(true);
    expect(worthALook({ id: 'a', link: 'seen', parts: [{ service: '180f' }] })).toBe(false);
    expect(worthALook({ id: 'a', link: 'connected', parts })).toBe(false);
    expect(worthALook({ id: 'usb:1:2:3', link: 'seen' })).toBe(true);
    expect(worthALook({ id: '/dev/ttyS0', link: 'seen' })).toBe(false);
    expect(worthALook({ id: 'usb:1:2:3', link: 'seen', problem: 'taken' })).toBe(false);
  });
});

describe('peelside doctor', () => {
  it('says that the radio works', async () => {
    const { source } = await radioOn();
    expect(await checkBluetooth(source())).toEqual({
      name: 'bluetooth',
      ok: true,
      message: 'the adapter works',
    });
  });

  it('says what is wrong with it and the exact remedy', async () => {
    const { fake, source } = await radioOn();
    fake.adapter.fault('eperm');
    const finding = await checkBluetooth(source());
    expect(finding).toMatchObject({ name: 'bluetooth', ok: false });
    expect(finding.remedy).toMatch(/sudo setcap cap_net_raw\+eip \/\S*node/);
  });

  it('says that a serial port can be used, or who has it', async () => {
    const cable = await layCable();
    // The program that makes the cable has both its ends open.
    const check = (await checkSerial([cable.port])).find((each) => each.name === 'serial port');
    expect(check).toMatchObject({
      ok: false,
      message: expect.stringMatching(/taken by another program. That is (socat|python)/),
    });
    const free = { id: 'x', path: fileURLToPath(import.meta.url), name: 'x', isUsb: false };
    expect(await checkSerial([], async () => [free])).toMatchObject([{ name: 'serial x', ok: true }]);
    expect(await checkSerial([], async () => [])).toEqual([
      { name: 'serial', ok: true, message: 'no serial port is plugged in' },
    ]);
  });
});

describe('what a probe asks of its source', () => {
  const probe = { id: 'p', channel: 'stone' };
  it('is its address, and what its mapping says of listening', () => {
    const listen = { service: 'ff01', characteristic: 'ff02', start: '01', startAt: 'ff03', every: 2 };
    const mapping = { mapping: 1, name: 'x', listen, values: [{ offset: 0, type: 'u8' }] };
    const address = { source: 'ble' as const, device: 'c4:00', part: 'a' };
    expect(subscriptionOf({ ...probe, address, options: { mapping } })).toEqual({
      source: 'ble',
      device: 'c4:00',
      ...listen,
    });
  });
  it('is a rate or registers of a serial port', () => {
    const address = { source: 'serial' as const, port: 'usb:1:2:3' };
    expect(subscriptionOf({ ...probe, address, options: { rate: 9600, modbus: { unit: 7 } } })).toEqual({
      source: 'serial',
      port: 'usb:1:2:3',
      rate: 9600,
      modbus: { unit: 7, registers: 'input', first: 0, count: 8, every: 1 },
    });
  });
  it('is nothing where no transport serves it, and never throws on odd options', () => {
    expect(subscriptionOf({ ...probe, address: { source: 'http', channel: 'stone' } })).toBeNull();
    const address = { source: 'serial' as const, port: 'x' };
    expect(subscriptionOf({ ...probe, address, options: { rate: 'fast', mapping: 7 } })).toBeNull();
  });
});
