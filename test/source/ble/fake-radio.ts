import {
  RadioFault,
  type Advert,
  type Characteristic,
  type Link,
  type Radio,
  type RadioState,
  type Unsubscribe,
} from '../../../server/source/ble/radio/radio.ts';

export type FakeCharacteristic = Characteristic & { value: string; name?: string; format?: string };

/** A device in the fake radio's reach. `deaf`: it does not answer any more, though the link stands. */
export type FakeDevice = {
  advert: Advert;
  characteristics: FakeCharacteristic[];
  written: string[];
  deaf?: boolean;
  /** It answers no read, while the controller here still knows its services and how strong its signal is. */
  silent?: boolean;
  /** It is deaf from when it is asked for a name until the link ends. */
  chokesOnNames?: boolean;
  refusesConnect?: boolean;
};

/** Stands in for the radio; its calls answer at once, as the port promises: in time, or with a RadioFault. */
export class FakeRadio implements Radio {
  readonly devices = new Map<string, FakeDevice>();
  readonly links = new Map<string, FakeLink>();
  readonly forgotten: string[] = [];
  scans = 0;
  scanFails = false;
  connects = 0;
  mostConnecting = 0;
  private connecting = 0;
  private readonly seen = new Set<string>();
  private state: RadioState = 'on';
  private readonly states = new Set<(state: RadioState) => void>();
  private readonly adverts = new Set<(advert: Advert) => void>();

  onState(listen: (state: RadioState) => void): Unsubscribe {
    this.states.add(listen);
    listen(this.state);
    return () => this.states.delete(listen);
  }

  onAdvert(listen: (advert: Advert) => void): Unsubscribe {
    this.adverts.add(listen);
    return () => this.adverts.delete(listen);
  }

  async scan(): Promise<void> {
    this.scans += 1;
    if (this.scanFails) throw new RadioFault('listening: no answer');
  }

  async connect(device: string, lost: () => void): Promise<Link> {
    const fake = this.devices.get(device);
    if (!fake || !this.seen.has(device)) throw new RadioFault('it has not been heard from yet');
    if (this.links.has(device)) throw new RadioFault('it is being connected to already');
    this.connects += 1;
    this.connecting += 1;
    this.mostConnecting = Math.max(this.mostConnecting, this.connecting);
    await new Promise((resolve) => setImmediate(resolve));
    this.connecting -= 1;
    if (fake.refusesConnect) throw new RadioFault('connecting: no answer');
    const link = new FakeLink(fake, this.connects, () => {
      this.links.delete(device);
      lost();
    });
    this.links.set(device, link);
    return link;
  }

  forget(device: string): void {
    this.forgotten.push(device);
  }

  async close(): Promise<void> {
    for (const link of this.links.values()) await link.close();
  }

  /** The device advertises once. */
  advertise(device: string, more: Partial<Advert> = {}): void {
    const fake = this.devices.get(device);
    if (!fake || this.links.has(device)) return;
    this.seen.add(device);
    for (const listen of this.adverts) listen({ ...fake.advert, ...more });
  }

  turn(state: RadioState): void {
    this.state = state;
    for (const listen of this.states) listen(state);
  }
}

const bytesOf = (hex: string): Uint8Array => Buffer.from(hex, 'hex');

export class FakeLink implements Link {
  readonly handle: number;
  private readonly device: FakeDevice;
  private readonly lost: () => void;
  private readonly subscribers = new Map<FakeCharacteristic, (bytes: Uint8Array) => void>();
  private over = false;
  private choked = false;

  constructor(device: FakeDevice, handle: number, lost: () => void) {
    this.device = device;
    this.handle = handle;
    this.lost = lost;
  }

  async discover(): Promise<readonly Characteristic[]> {
    this.mustAnswer('services');
    return this.device.characteristics;
  }

  async describe(of: Characteristic): Promise<{ name?: string; format?: Uint8Array }> {
    this.mustAnswer('descriptors');
    if (this.device.chokesOnNames) {
      this.choked = true;
      this.mustAnswer('descriptors');
    }
    const { name, format } = this.mine(of);
    return { ...(name !== undefined && { name }), ...(format !== undefined && { format: bytesOf(format) }) };
  }

  async read(of: Characteristic): Promise<Uint8Array> {
    this.mustAnswer(`reading ${of.characteristic}`);
    if (this.device.silent) throw new RadioFault(`reading ${of.characteristic}: no answer`);
    if (!of.can.read) throw new RadioFault(`reading ${of.characteristic}: refused`);
    return bytesOf(this.mine(of).value);
  }

  async write(to: Characteristic, bytes: Uint8Array): Promise<void> {
    this.mustAnswer(`writing ${to.characteristic}`);
    this.device.written.push(Buffer.from(bytes).toString('hex'));
  }

  async subscribe(to: Characteristic, onValue: (bytes: Uint8Array) => void): Promise<void> {
    this.mustAnswer(`subscribing to ${to.characteristic}`);
    if (!to.can.notify) throw new RadioFault(`subscribing to ${to.characteristic}: no answer`);
    this.subscribers.set(this.mine(to), onValue);
  }

  async rssi(): Promise<number> {
    this.mustAnswer('signal strength');
    return -55;
  }

  async close(): Promise<void> {
    this.drop();
  }

  drop(): void {
    if (this.over) return;
    this.over = true;
    this.subscribers.clear();
    this.lost();
  }

  /** Everything that is subscribed to says its value. */
  notifyAll(): void {
    for (const [characteristic, onValue] of this.subscribers) onValue(bytesOf(characteristic.value));
  }

  private mine(of: Characteristic): FakeCharacteristic {
    const found = this.device.characteristics.find(
      (characteristic) =>
        characteristic.service === of.service &&
        characteristic.characteristic === of.characteristic &&
        characteristic.instance === of.instance,
    );
    if (!found) throw new RadioFault(`it has no characteristic ${of.characteristic}`);
    return found;
  }

  private mustAnswer(what: string): void {
    if (this.over) throw new RadioFault(`${what}: the link ended`);
    if (this.device.deaf || this.choked) throw new RadioFault(`${what}: no answer`);
  }
}

const NOTHING = { read: false, write: false, writeQuietly: false, notify: false };

/** Two temperatures of Environmental Sensing, with names, and a battery. */
export function environmental(device: string, name: string): FakeDevice {
  const temperature = (instance: number, label: string, value: string): FakeCharacteristic => ({
    service: '181a',
    characteristic: '2a6e',
    instance,
    can: { ...NOTHING, read: true, notify: true },
    value,
    name: label,
    format: '0efe2f27010000',
  });
  return {
    advert: { device, name, rssi: -60, connectable: true, services: ['181a'], data: [] },
    characteristics: [
      temperature(0, 'Stone', '9065'),
      temperature(1, 'Dome', '3075'),
      {
        service: '180f',
        characteristic: '2a19',
        instance: 0,
        can: { ...NOTHING, read: true, notify: true },
        value: '57',
      },
      {
        service: 'ff01',
        characteristic: 'ff02',
        instance: 0,
        can: { ...NOTHING, write: true },
        value: '',
      },
    ],
    written: [],
  };
}
