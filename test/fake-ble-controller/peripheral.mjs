// One peripheral on the virtual air: bleno, which nobody here wrote, in a process of its own. Started by fake-controller.ts, told
// what to be and what to notify over IPC. Peripheral kinds and their messages: see fake-controller.ts.
import bleno from '@abandonware/bleno';

const { Characteristic, Descriptor, PrimaryService } = bleno;
const spec = JSON.parse(process.argv[2] ?? '{}');
const every = spec.every ?? 1000;
let temperatures = (spec.temperatures ?? [{ celsius: spec.celsius ?? 20 }]).map((one) => one.celsius);
let battery = spec.battery ?? 87;
let packet = 0;
let started = spec.kind !== 'made-up';
const updates = [];

/** IEEE 11073 FLOAT with one decimal, little-endian: exponent −1 in the top byte (IEEE 11073-20601). */
function float11073(celsius) {
  const bytes = Buffer.alloc(4);
  bytes.writeInt32LE((Math.round(celsius * 10) & 0xffffff) | (0xff << 24), 0);
  return bytes;
}

const s16 = (value) => {
  const bytes = Buffer.alloc(2);
  bytes.writeInt16LE(Math.max(-32768, Math.min(32767, Math.round(value))), 0);
  return bytes;
};

/** A characteristic that says `value()` every so often and when it is read. */
function live(uuid, properties, value, descriptors = []) {
  let off = null;
  const one = new Characteristic({
    uuid,
    properties,
    descriptors,
    onReadRequest: (offset, answer) => answer(Characteristic.RESULT_SUCCESS, value().subarray(offset)),
    onSubscribe: (_size, update) => {
      const notify = () => {
        if (started) update(value());
      };
      clearInterval(off);
      off = setInterval(notify, every);
      updates.push(notify);
      notify();
    },
    onUnsubscribe: () => clearInterval(off),
  });
  return one;
}

const batteryService = () =>
  new PrimaryService({
    uuid: '180f',
    characteristics: [live('2a19', ['read', 'notify'], () => Buffer.from([battery]))],
  });

const KINDS = {
  health: () => ({
    advertised: ['1809'],
    services: [
      new PrimaryService({
        uuid: '1809',
        characteristics: [
          live('2a1c', ['indicate'], () => Buffer.concat([Buffer.from([0]), float11073(temperatures[0])])),
          live('2a1e', ['notify'], () => Buffer.concat([Buffer.from([0]), float11073(temperatures[0])])),
        ],
      }),
      batteryService(),
    ],
  }),
  environmental: () => ({
    advertised: ['181a'],
    services: [
      new PrimaryService({
        uuid: '181a',
        characteristics: spec.temperatures.map((one, i) =>
          live('2a6e', spec.silentRead ? ['read'] : ['read', 'notify'], () => s16(temperatures[i] * 100), [
            new Descriptor({ uuid: '2901', value: Buffer.from(one.name) }),
            // sint16, exponent −2, degree Celsius (Bluetooth SIG, GATT Specification Supplement)
            new Descriptor({ uuid: '2904', value: Buffer.from('0efe2f27010000', 'hex') }),
          ]),
        ),
      }),
      batteryService(),
    ],
  }),
  // Invented: big-endian tenths of a degree, silent until 01 is written to its command characteristic.
  'made-up': () => ({
    advertised: ['a3c80001b5e64c1e9c4f3d2e5f6a7b80'],
    services: [
      new PrimaryService({
        uuid: 'a3c80001b5e64c1e9c4f3d2e5f6a7b80',
        characteristics: [
          live('a3c80002b5e64c1e9c4f3d2e5f6a7b80', ['notify'], () => {
            const bytes = Buffer.from([0xaa, 0, 0]);
            bytes.writeInt16BE(Math.round(temperatures[0] * 10), 1);
            return bytes;
          }),
          new Characteristic({
            uuid: 'a3c80003b5e64c1e9c4f3d2e5f6a7b80',
            properties: ['write', 'writeWithoutResponse'],
            onWriteRequest: (data, _offset, _quietly, answer) => {
              started = data[0] === 1;
              answer(Characteristic.RESULT_SUCCESS);
            },
          }),
        ],
      }),
    ],
  }),
  bthome: () => ({ services: [] }),
};

/** BTHome v2 service data: info byte, packet id, battery, then each temperature as 0x45 (BTHome v2 format). */
function bthomeAdvert() {
  packet = (packet + 1) & 0xff;
  const objects = temperatures.flatMap((celsius) => [0x45, ...s16(celsius * 10)]);
  const payload = Buffer.from([0x16, 0xd2, 0xfc, 0x40, 0x00, packet, 0x01, battery, ...objects]);
  return Buffer.concat([Buffer.from([2, 1, 6, payload.length]), payload]);
}

function broadcast() {
  const name = Buffer.from(spec.name);
  bleno.startAdvertisingWithEIRData(
    bthomeAdvert(),
    Buffer.concat([Buffer.from([name.length + 1, 0x09]), name]),
  );
}

const tell = (message) => process.send?.(message);

bleno.on('stateChange', (state) => {
  if (state !== 'poweredOn') return;
  const { advertised, services } = KINDS[spec.kind]();
  if (spec.kind === 'bthome') {
    broadcast();
    setInterval(broadcast, every);
    tell('ready');
    return;
  }
  bleno.startAdvertising(spec.name, advertised);
  bleno.once('advertisingStart', () => bleno.setServices(services, () => tell('ready')));
});
bleno.on('accept', () => tell('accepted'));
bleno.on('disconnect', () => {
  updates.length = 0;
  started = spec.kind !== 'made-up';
  tell('disconnected');
});

process.on('message', (message) => {
  if (message.temperatures) temperatures = message.temperatures;
  if (message.battery !== undefined) battery = message.battery;
  if (spec.kind === 'bthome') broadcast();
  for (const notify of updates) notify();
});
process.on('disconnect', () => process.exit(0));
