import {
  once,
  type Library,
  type LibraryCharacteristic,
  type LibraryDescriptor,
  type LibraryPeripheral,
  type LibraryService,
  type RawCharacteristic,
  type RawService,
} from './radio/noble-library.ts';
import { RadioFault, type Characteristic, type Link } from './radio/radio.ts';
import { withTimeout } from './radio/with-timeout.ts';
import { plainUuid } from './plain-uuid.ts';

/** A device on a slow link answers within a second; three of them are patience. ms */
const ANSWER_TIMEOUT_MS = 4000;
const DISCOVER_TIMEOUT_MS = 8000;
const CLOSE_TIMEOUT_MS = 1500;
/** A device that lists more is not a thermometer. */
const MAX_SERVICES = 40;

type Found = { ours: Characteristic; theirs: LibraryCharacteristic };

/** A link over an established connection. `lost` is called once when it ends. */
export function openLink(
  noble: Library,
  peripheral: LibraryPeripheral,
  handle: number | null,
  lost: () => void,
): Link {
  return new NobleLink(noble, peripheral, handle, lost);
}

class NobleLink implements Link {
  readonly handle: number | null;
  private readonly noble: Library;
  private readonly peripheral: LibraryPeripheral;
  private readonly ended = new AbortController();
  private found: Promise<Found[]> | null = null;
  private readonly listening: LibraryCharacteristic[] = [];

  constructor(noble: Library, peripheral: LibraryPeripheral, handle: number | null, lost: () => void) {
    this.noble = noble;
    this.peripheral = peripheral;
    this.handle = handle;
    once(peripheral, 'disconnect', () => {
      for (const characteristic of this.listening) characteristic.removeAllListeners();
      this.ended.abort();
      lost();
    });
  }

  async discover(): Promise<readonly Characteristic[]> {
    // Once only: asking again on a live link would orphan the subscriptions.
    this.found ??= this.findAll();
    return (await this.found).map((each) => each.ours);
  }

  async describe(of: Characteristic): Promise<{ name?: string; format?: Uint8Array }> {
    const theirs = await this.theirs(of);
    const descriptors = await this.call<LibraryDescriptor[]>('descriptors', (done) => {
      const off = once(theirs, 'descriptorsDiscover', done);
      theirs.discoverDescriptors();
      return off;
    });
    const [name, format] = [await this.value(descriptors, '2901'), await this.value(descriptors, '2904')];
    return {
      ...(name && { name: name.toString('utf8').replaceAll('\0', '').trim().slice(0, 80) }),
      ...(format && { format }),
    };
  }

  async read(of: Characteristic): Promise<Uint8Array> {
    const theirs = await this.theirs(of);
    const bytes = await this.call<Buffer>(`reading ${of.characteristic}`, (done) => {
      const listen = (data: Buffer, isNotification: boolean): void => {
        if (!isNotification) done(data);
      };
      theirs.on('data', listen);
      theirs.read();
      return () => void theirs.removeListener('data', listen);
    });
    // The library answers a refused read with nothing.
    if (bytes.length === 0) throw new RadioFault(`reading ${of.characteristic}: refused`);
    return bytes;
  }

  async write(to: Characteristic, bytes: Uint8Array): Promise<void> {
    const theirs = await this.theirs(to);
    await this.call<void>(`writing ${to.characteristic}`, (done) => {
      const off = once(theirs, 'write', () => done());
      theirs.write(Buffer.from(bytes), !to.can.write);
      return off;
    });
  }

  async subscribe(to: Characteristic, onValue: (bytes: Uint8Array) => void): Promise<void> {
    const theirs = await this.theirs(to);
    const listen = (data: Buffer, isNotification: boolean): void => {
      if (isNotification) onValue(data);
    };
    theirs.on('data', listen);
    this.listening.push(theirs);
    try {
      await this.call<void>(`subscribing to ${to.characteristic}`, (done) => {
        const off = once(theirs, 'notify', () => done());
        theirs.notify(true);
        return off;
      });
    } catch (error) {
      theirs.removeListener('data', listen);
      throw error;
    }
  }

  rssi(): Promise<number> {
    return this.call<number>('signal strength', (done) => {
      const off = once(this.peripheral, 'rssiUpdate', done);
      this.peripheral.updateRssi();
      return off;
    });
  }

  async close(): Promise<void> {
    // Ending a link that is not there would end somebody else's.
    if (this.ended.signal.aborted || this.peripheral.state !== 'connected') return;
    await withTimeout<void>('closing', CLOSE_TIMEOUT_MS, never, (done) => {
      const off = once(this.peripheral, 'disconnect', () => done());
      this.peripheral.disconnect();
      return off;
    }).catch(() => {
      throw new RadioFault('the link could not be ended', true);
    });
  }

  private call<T>(
    what: string,
    begin: Parameters<typeof withTimeout<T>>[3],
    ms = ANSWER_TIMEOUT_MS,
  ): Promise<T> {
    return withTimeout(what, ms, this.ended.signal, begin);
  }

  private async theirs(ours: Characteristic): Promise<LibraryCharacteristic> {
    const all = this.found ? await this.found : [];
    const found = all.find((each) => keyOf(each.ours) === keyOf(ours));
    if (!found) throw new RadioFault(`it has no characteristic ${ours.characteristic}`);
    return found.theirs;
  }

  private async value(descriptors: LibraryDescriptor[], uuid: string): Promise<Buffer | null> {
    const descriptor = descriptors.find((descriptor) => plainUuid(descriptor.uuid) === uuid);
    if (!descriptor) return null;
    const bytes = await this.call<Buffer>(`reading ${uuid}`, (done) => {
      const off = once(descriptor, 'valueRead', done);
      descriptor.readValue();
      return off;
    });
    return bytes.length > 0 ? bytes : null;
  }

  private async findAll(): Promise<Found[]> {
    const services = await this.findServices();
    const found: Found[] = [];
    for (const service of services) found.push(...(await this.findCharacteristics(service)));
    return numbered(found);
  }

  /** Registers the raw list again with a key a service, since two of one UUID would be one. */
  private async findServices(): Promise<LibraryService[]> {
    const raw = await this.call<RawService[]>(
      'services',
      (done) => {
        let list: RawService[] = [];
        const offs = [
          once(
            this.peripheral,
            'servicesDiscovered',
            (_: unknown, services: RawService[]) => (list = services),
          ),
          once(this.peripheral, 'servicesDiscover', () => done(list)),
        ];
        this.peripheral.discoverServices([]);
        return () => offs.forEach((off) => off());
      },
      DISCOVER_TIMEOUT_MS,
    );
    const keyed = raw
      .slice(0, MAX_SERVICES)
      .map((service, i) => ({ ...service, uuid: `${plainUuid(service.uuid)}@${i}` }));
    return this.noble.addServices(this.peripheral.id, keyed);
  }

  private async findCharacteristics(service: LibraryService): Promise<Found[]> {
    const raw = await this.call<RawCharacteristic[]>(
      'characteristics',
      (done) => {
        let list: RawCharacteristic[] = [];
        const offs = [
          once(service, 'characteristicsDiscovered', (raws: RawCharacteristic[]) => (list = raws)),
          once(service, 'characteristicsDiscover', () => done(list)),
        ];
        service.discoverCharacteristics([]);
        return () => offs.forEach((off) => off());
      },
      DISCOVER_TIMEOUT_MS,
    );
    const keyed = raw.map((characteristic, i) => ({
      ...characteristic,
      uuid: `${plainUuid(characteristic.uuid)}@${i}`,
    }));
    const theirs = this.noble.addCharacteristics(this.peripheral.id, service.uuid, keyed);
    const uuid = service.uuid.split('@')[0] ?? '';
    return raw.map((characteristic, i) => ({
      ours: {
        service: uuid,
        characteristic: plainUuid(characteristic.uuid),
        instance: 0,
        can: abilities(characteristic.propsDecoded),
      },
      // One came back for each that was handed in, in that order.
      theirs: theirs[i] as LibraryCharacteristic,
    }));
  }
}

const never = new AbortController().signal;

const keyOf = (characteristic: Characteristic): string =>
  `${characteristic.service}/${characteristic.characteristic}/${characteristic.instance}`;

const abilities = (properties: readonly string[]): Characteristic['can'] => ({
  read: properties.includes('read'),
  write: properties.includes('write'),
  writeQuietly: properties.includes('writeWithoutResponse'),
  notify: properties.includes('notify') || properties.includes('indicate'),
});

/** Counts those of one UUID in one service, so that two 0x2A6E are 0 and 1. */
function numbered(found: Found[]): Found[] {
  const counts = new Map<string, number>();
  return found.map(({ ours, theirs }) => {
    const kind = `${ours.service}/${ours.characteristic}`;
    const instance = counts.get(kind) ?? 0;
    counts.set(kind, instance + 1);
    return { ours: { ...ours, instance }, theirs };
  });
}
