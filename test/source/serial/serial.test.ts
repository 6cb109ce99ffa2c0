import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { listPorts } from '../../../server/source/serial/ports.ts';
import { SerialSource, type SerialOptions } from '../../../server/source/serial/serial.ts';
import { modbusPoll, type SerialSubscription } from '../../../server/source/subscription.ts';
import { atEnd } from '../../support/endings.ts';
import { Watch } from '../watch.ts';
import { layCable } from './pty.ts';

function sourceOf(options: SerialOptions): { source: SerialSource; watch: Watch } {
  const source = new SerialSource(options);
  const watch = new Watch();
  source.start(watch);
  atEnd(() => source.stop());
  return { source, watch };
}

const subscriptionTo = (port: string, more: Partial<SerialSubscription> = {}): SerialSubscription => ({
  source: 'serial',
  port,
  ...more,
});

const isConnected = (watch: Watch, id: string) => (): boolean => watch.device(id)?.link === 'connected';

/** A port that is subscribed to and open. */
async function openPort(rate = 9600) {
  const port = await layCable();
  const { source, watch } = sourceOf({ extra: [port.port] });
  source.subscribe([subscriptionTo(port.port, { rate })]);
  await watch.until('it is open', isConnected(watch, port.port));
  return { port, source, watch };
}

describe('serial ports on a real pseudo terminal', () => {
  it('lists a port and leaves it closed until it is subscribed to', async () => {
    const port = await layCable();
    const { watch } = sourceOf({ extra: [port.port] });
    await watch.until('it is listed', () => watch.device(port.port));
    expect(watch.device(port.port)).toMatchObject({ link: 'seen', name: 'port' });
  });

  it('delivers each line as it came', async () => {
    const { port, watch } = await openPort(115_200);
    await port.write('stone=270.5\r\n{"dome": 247.5}\n');
    await watch.frameWith({ source: 'serial', port: port.port, line: 'stone=270.5' });
    await watch.frameWith({ port: port.port, line: '{"dome": 247.5}' });
    await port.write('270.5;');
    await port.write('247.5\r');
    await watch.frameWith({ port: port.port, line: '270.5;247.5' });
  });

  it('recognises lines at a rate that nobody told', async () => {
    const port = await layCable();
    const { source, watch } = sourceOf({ extra: [port.port] });
    source.look(subscriptionTo(port.port), 60);
    await watch.until('it is open', isConnected(watch, port.port));
    await port.write('e=2\r\nstone=270.5\r\nstone=270.6\r\n');
    await watch.frameWith({ line: 'stone=270.6' });
    expect(watch.device(port.port)?.rate).toBeGreaterThan(0);
  });

  it('tells a port that is gone, and takes it up again when it is back', async () => {
    const { port, watch } = await openPort();
    await port.unplug();
    await watch.until('it is lost', () => watch.device(port.port)?.link === 'lost');
    expect(watch.device(port.port)?.problem).toContain('is gone');
    await port.plug();
    await watch.until('it is open again', isConnected(watch, port.port));
    await port.write('stone=1\n');
    await watch.frameWith({ line: 'stone=1' });
    expect(watch.device(port.port)?.problem).toBeUndefined();
  });

  it('finds a board by its USB identity under another name', async () => {
    const port = await layCable();
    const root = mkdtempSync(join(tmpdir(), 'kernel-'));
    const roots = { sys: join(root, 'class'), dev: join(root, 'dev') };
    const plugIn = (name: string): void => {
      const device = join(root, 'usb', name);
      for (const folder of [join(roots.sys, name), roots.dev, device]) mkdirSync(folder, { recursive: true });
      for (const [file, text] of [
        ['idVendor', '1a86'],
        ['idProduct', '7523'],
        ['serial', 'K7'],
      ] as const)
        writeFileSync(join(device, file), text);
      symlinkSync(device, join(roots.sys, name, 'device'));
      symlinkSync(port.port, join(roots.dev, name));
    };
    plugIn('ttyUSB0');
    const id = 'usb:1a86:7523:K7';
    const { source, watch } = sourceOf({ list: () => listPorts([], roots) });
    source.subscribe([subscriptionTo(id, { rate: 9600 })]);
    await watch.until('it is open', isConnected(watch, id));
    rmSync(root, { recursive: true });
    await port.unplug();
    await watch.until('it is lost', () => watch.device(id)?.link === 'lost');
    await port.plug();
    plugIn('ttyUSB4');
    await watch.until('it is open again', isConnected(watch, id));
    await port.write('dome=247.5\n');
    await watch.frameWith({ port: id, line: 'dome=247.5' });
  });

  it('says that a port is taken, to the page', async () => {
    const { port } = await openPort();
    const second = sourceOf({ extra: [port.port] });
    second.source.subscribe([subscriptionTo(port.port, { rate: 9600 })]);
    await second.watch.until('it says so', () =>
      second.watch.device(port.port)?.problem?.includes('taken by another program'),
    );
    expect(second.watch.device(port.port)?.remedy).toContain('fuser -v');
  });

  it('asks a Modbus module over and over and delivers its replies whole', async () => {
    const port = await layCable();
    const { source, watch } = sourceOf({ extra: [port.port] });
    const requests: string[] = [];
    port.onData((bytes) => {
      requests.push(bytes.toString('hex'));
      // In two pieces, as a slow line brings them.
      void port.write(Buffer.from('010402', 'hex')).then(() => port.write(Buffer.from('0a8cbe35', 'hex')));
    });
    source.subscribe([
      subscriptionTo(port.port, { modbus: modbusPoll.parse({ unit: 1, count: 1, every: 0.2 }) }),
    ]);
    await watch.frameWith({ source: 'serial', port: port.port, bytes: '0104020a8cbe35' });
    await watch.until('it came again', () => watch.frames.length > 2);
    expect(requests.join('')).toMatch(/^(0104000000013\w+)+$/);
  });

  it('closes a port that nobody is subscribed to any more', async () => {
    const { port, source, watch } = await openPort();
    source.subscribe([]);
    await watch.until('it is only seen', () => watch.device(port.port)?.link === 'seen');
  });
});
