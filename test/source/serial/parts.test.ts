import fc from 'fast-check';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { createLines } from '../../../server/source/serial/framing.ts';
import { createExchange, replyLength, requestFor } from '../../../server/source/serial/modbus-exchange.ts';
import { listPorts, portErrorOf } from '../../../server/source/serial/ports.ts';
import { classify } from '../../../server/source/serial/rate.ts';
import { modbusPoll } from '../../../server/source/subscription.ts';
import { forAll } from '../../support/property.ts';

const hex = (text: string): Buffer => Buffer.from(text.replaceAll(' ', ''), 'hex');
const bytes = (text: string): Uint8Array => Uint8Array.from(hex(text));

describe('lines out of bytes', () => {
  it('ends a line at CR, LF or both and leaves empty ones out', () => {
    const lines = createLines();
    expect(lines.push(Buffer.from('stone=270.5\r\ndome=24'))).toEqual(['stone=270.5']);
    expect(lines.push(Buffer.from('7.5\r\r\n\n21,5 °C\n'))).toEqual(['dome=247.5', '21,5 °C']);
  });

  it('throws away what never ends, and is whole again after', () => {
    const lines = createLines(16);
    expect(lines.push(Buffer.from('x'.repeat(100_000)))).toEqual([]);
    expect(lines.push(Buffer.from('still the same line\nstone=1\n'))).toEqual(['stone=1']);
    expect(lines.dropped).toBe(1);
  });

  it('gives the same lines however the bytes are cut, and never throws', () => {
    forAll(
      { seed: 3, numRuns: 300 },
      fc.uint8Array({ maxLength: 400 }),
      fc.array(fc.nat(40), { maxLength: 40 }),
      (bytes, cuts) => {
        const whole = createLines().push(bytes);
        const lines = createLines();
        const pieces: string[] = [];
        let at = 0;
        for (const cut of cuts) pieces.push(...lines.push(bytes.subarray(at, (at += cut))));
        pieces.push(...lines.push(bytes.subarray(at)));
        expect(pieces).toEqual(whole);
      },
    );
  });
});

describe('whether a rate is right', () => {
  it.each([
    ['lines of readings', 'one=1.0\r\nstone=270.5\r\nstone=270.6\r\n', 'text'],
    ['numbers with a degree sign', '21.5 °C\n21.6 °C\n21.7 °C\n', 'text'],
    ['half a line', 'stone=27', 'unsure'],
    ['nothing', '', 'unsure'],
    ['a boot message without a number', 'hello\nready\n', 'unsure'],
    ['text without an end', 'a1'.repeat(400), 'garbage'],
  ] as const)('%s', (_what, text, judgement) => {
    expect(classify(Buffer.from(text))).toBe(judgement);
  });

  it('doubts random bytes', () => {
    const doubts = fc
      .sample(fc.uint8Array({ minLength: 64, maxLength: 64 }), { seed: 5, numRuns: 200 })
      .filter((bytes) => classify(bytes) === 'garbage');
    expect(doubts).toHaveLength(200);
  });
});

describe('Modbus RTU on the wire', () => {
  it('asks as in the examples of MODBUS over Serial Line V1.02: eight input registers from 0, three holding from 107', () => {
    expect(requestFor(modbusPoll.parse({ unit: 1 }))).toEqual(bytes('01 04 00 00 00 08 f1 cc'));
    const holding = { unit: 1, registers: 'holding', first: 107, count: 3 };
    expect(requestFor(modbusPoll.parse(holding))).toEqual(bytes('01 03 00 6b 00 03 74 17'));
  });

  const REPLY = '01 04 02 0a 8c be 35';
  const REQUEST = Buffer.from(requestFor(modbusPoll.parse({ unit: 1, count: 1 })));

  it('knows a whole reply and an exception by their beginning', () => {
    expect(replyLength(hex(REPLY))).toBe(7);
    expect(replyLength(hex('01 84 02 c2 c1'))).toBe(5);
    expect(replyLength(hex('01'))).toBeNull();
  });

  it.each([
    ['at once', [REPLY]],
    ['byte by byte', REPLY.split(' ')],
    ['after the echo of the request', [REQUEST.toString('hex'), REPLY]],
    ['after an echo in pieces', [...(REQUEST.toString('hex').match(/../g) ?? []), ...REPLY.split(' ')]],
  ])('takes the reply %s', (_how, pieces) => {
    const exchange = createExchange(REQUEST);
    const replies = pieces.map((piece) => exchange.push(hex(piece))).filter((each) => each !== null);
    expect(replies.map((reply) => Buffer.from(reply).toString('hex'))).toEqual([hex(REPLY).toString('hex')]);
  });
});

describe('which ports there are', () => {
  const folders: string[] = [];
  afterEach(() => {
    for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
  });

  /** A kernel's folder with one port of a USB device, as Linux lays it out. */
  function kernel(name: string, plug: string, facts: Record<string, string>): { sys: string; dev: string } {
    const root = mkdtempSync(join(tmpdir(), 'kernel-'));
    folders.push(root);
    const [sys, dev] = [join(root, 'class'), join(root, 'dev')];
    const usb = join(root, 'devices', plug);
    const device = join(usb, `${plug}:1.0`, name);
    for (const folder of [join(sys, name), dev, device]) mkdirSync(folder, { recursive: true });
    for (const [file, text] of Object.entries(facts)) writeFileSync(join(usb, file), `${text}\n`);
    writeFileSync(join(usb, `${plug}:1.0`, 'bInterfaceNumber'), '00\n');
    symlinkSync(device, join(sys, name, 'device'));
    writeFileSync(join(dev, name), '');
    return { sys, dev };
  }

  const BOARD = { idVendor: '2341', idProduct: '0043', serial: '85736', product: 'Board' };

  it('knows a USB device by vendor, product and serial number, whatever its name is', async () => {
    const first = await listPorts([], kernel('ttyACM0', '1-1', BOARD));
    const later = await listPorts([], kernel('ttyACM3', '3-2', BOARD));
    expect(first).toMatchObject([{ id: 'usb:2341:0043:85736', name: 'Board (ttyACM0)', isUsb: true }]);
    expect(later[0]?.id).toBe(first[0]?.id);
    expect(later[0]?.path).toMatch(/ttyACM3$/);
  });

  it('knows one without a serial number by its plug', async () => {
    const ports = await listPorts([], kernel('ttyUSB0', '1-1.4', { ...BOARD, serial: '' }));
    expect(ports[0]?.id).toBe('usb:2341:0043@1-1.4');
  });

  it('leaves out names behind which there is no port', async () => {
    const roots = kernel('ttyS0', '1-1', BOARD);
    writeFileSync(join(roots.sys, 'ttyS0', 'type'), '0\n');
    expect(await listPorts([], roots)).toEqual([]);
    expect(await listPorts(['/nowhere/port'], { sys: '/nowhere', dev: '/nowhere' })).toEqual([]);
  });

  // The words are those of the library and of Linux, recalled.
  it.each([
    ['Error: Permission denied, cannot open /dev/ttyUSB0', 'may not use', 'usermod -aG dialout'],
    ['Error Resource temporarily unavailable Cannot lock port', 'another program', 'fuser -v /dev/ttyUSB0'],
    ['Error: No such file or directory, cannot open', 'is gone', 'Plug it in'],
    ["Cannot find package 'serialport' imported from /srv/main.js", 'not installed', 'build-essential'],
    ['No native build was found for platform=linux', 'not installed', 'build-essential'],
    ['Error: something new', "can't be opened", 'Unplug it'],
  ])('says what "%s" means', (message, problem, remedy) => {
    const error = portErrorOf('/dev/ttyUSB0', message);
    expect(error.problem).toContain(problem);
    expect(error.remedy).toContain(remedy);
  });
});
