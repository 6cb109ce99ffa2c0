import { messageOf } from '../../../../shared/fault.ts';
import { loadLibrary, once, type Library, type LibraryPeripheral } from './noble-library.ts';
import { openLink } from '../link.ts';
import { readAdvert } from '../advert.ts';
import {
  RadioFault,
  type Advert,
  type Link,
  type Radio,
  type RadioState,
  type Unsubscribe,
} from './radio.ts';
import { withTimeout } from './with-timeout.ts';

/** An adapter that says nothing of itself for this long, ms, will not. */
const STATE_TIMEOUT_MS = 6000;
const SCAN_TIMEOUT_MS = 3000;
const SCAN_AGAIN_AFTER_MS = 500;
const CONNECT_TIMEOUT_MS = 10_000;
/** The controller answers a cancelled connect at once; where it does not, only a fresh process helps. */
const CANCEL_TIMEOUT_MS = 2000;

/**
 * Connection interval 30–50 ms and supervision 4 s, in the units of the HCI (1.25 ms, 10 ms): the library's own
 * supervision of 420 ms loses a link whenever a hand passes the antenna.
 */
const LINK_PARAMETERS = { minInterval: 24, maxInterval: 40, latency: 0, timeout: 400 };

const never = new AbortController().signal;

/** The radio of this machine through noble. Never throws: what goes wrong is its state. */
export async function openRadio(): Promise<Radio> {
  try {
    return new NobleRadio(await loadLibrary());
  } catch (error) {
    return new ClosedRadio(stateOf(messageOf(error)));
  }
}

/** A package that npm left out, or one of which only the native part was not built: Node's and `bindings`' words. */
const NOT_INSTALLED =
  /Cannot find (package|module)|Could not locate the bindings file|No native build was found/i;

/** By the words that the library and the operating system use. */
export function stateOf(message: string): RadioState {
  if (NOT_INSTALLED.test(message)) return 'no-library';
  if (/EAFNOSUPPORT|not supported by protocol|Unsupported platform/i.test(message)) return 'no-kernel';
  if (/EPERM|EACCES|not permitted/i.test(message)) return 'unauthorized';
  return 'no-adapter';
}

/** Stands in where the library could not even be loaded. */
class ClosedRadio implements Radio {
  private readonly state: RadioState;
  constructor(state: RadioState) {
    this.state = state;
  }
  onState(listen: (state: RadioState) => void): Unsubscribe {
    listen(this.state);
    return () => {};
  }
  onAdvert(): Unsubscribe {
    return () => {};
  }
  async scan(): Promise<void> {}
  connect(): Promise<Link> {
    return Promise.reject(new RadioFault('there is no radio'));
  }
  forget(): void {}
  async close(): Promise<void> {}
}

class NobleRadio implements Radio {
  private readonly noble: Library;
  private readonly known = new Map<string, LibraryPeripheral>();
  private readonly linked = new Map<string, Link>();
  private readonly stateListeners = new Set<(state: RadioState) => void>();
  private readonly advertListeners = new Set<(advert: Advert) => void>();
  private readonly seen = new WeakSet<Buffer>();
  private state: RadioState = 'starting';
  private connecting = false;
  private rescan: NodeJS.Timeout | undefined;

  constructor(noble: Library) {
    this.noble = noble;
    const timeout = setTimeout(() => this.turn('no-answer'), STATE_TIMEOUT_MS);
    const turn = (state: RadioState): void => {
      clearTimeout(timeout);
      this.turn(state);
    };
    noble.on('warning', (message: unknown) => {
      if (/initialization/i.test(String(message))) turn(stateOf(String(message)));
    });
    noble.on('discover', (peripheral: LibraryPeripheral) => this.onDiscover(peripheral));
    noble.on('scanStop', () => this.scanAgain());
    // Listening to this one makes the library start.
    noble.on('stateChange', (state: unknown) => {
      const ours = STATES[String(state)];
      if (ours) turn(ours);
    });
  }

  onState(listen: (state: RadioState) => void): Unsubscribe {
    this.stateListeners.add(listen);
    listen(this.state);
    return () => this.stateListeners.delete(listen);
  }

  onAdvert(listen: (advert: Advert) => void): Unsubscribe {
    this.advertListeners.add(listen);
    return () => this.advertListeners.delete(listen);
  }

  scan(): Promise<void> {
    return withTimeout('listening', SCAN_TIMEOUT_MS, never, (done) => {
      const off = once(this.noble, 'scanStart', () => done());
      // With duplicates, since a changed value in an advertisement would be one.
      this.noble.startScanning([], true);
      return off;
    });
  }

  async connect(device: string, lost: () => void): Promise<Link> {
    const peripheral = this.known.get(device);
    if (!peripheral) throw new RadioFault('it has not been heard from yet');
    if (this.connecting || this.linked.has(device)) throw new RadioFault('it is being connected to already');
    this.connecting = true;
    try {
      await this.establish(peripheral);
    } finally {
      this.connecting = false;
    }
    const handle = this.noble._bindings._handles?.[peripheral.id] ?? null;
    const link = openLink(this.noble, peripheral, handle, () => {
      this.linked.delete(device);
      lost();
    });
    this.linked.set(device, link);
    return link;
  }

  forget(device: string): void {
    const peripheral = this.known.get(device);
    if (!peripheral || this.linked.has(device) || peripheral.state === 'connecting') return;
    this.known.delete(device);
    peripheral.removeAllListeners();
    const { noble } = this;
    const bindings = noble._bindings;
    const byId = [noble._peripherals, noble._services, noble._characteristics, noble._descriptors];
    const more = [bindings._addresses, bindings._addresseTypes, bindings._connectable, bindings.scannable];
    for (const cache of [...byId, ...more, noble._discoveredPeripheralUUids]) delete cache?.[peripheral.id];
    delete bindings._gap?._discoveries[peripheral.address];
  }

  async close(): Promise<void> {
    clearTimeout(this.rescan);
    this.stateListeners.clear();
    this.advertListeners.clear();
    await Promise.allSettled([...this.linked.values()].map((link) => link.close()));
  }

  private async establish(peripheral: LibraryPeripheral): Promise<void> {
    try {
      await withTimeout<void>('connecting', CONNECT_TIMEOUT_MS, never, (done, failed) => {
        const off = once(peripheral, 'connect', (error?: Error) => (error ? failed(error.message) : done()));
        peripheral.connect(LINK_PARAMETERS);
        return off;
      });
    } catch (error) {
      if (peripheral.state === 'connecting') await this.cancel(peripheral);
      throw error;
    }
  }

  /** Waits for the controller's own word, since until then every other connect would wait behind this one. */
  private async cancel(peripheral: LibraryPeripheral): Promise<void> {
    const linked = await withTimeout<boolean>('cancelling', CANCEL_TIMEOUT_MS, never, (done) => {
      let echoed = false;
      const listen = (error?: Error): void => {
        // The first comes from the library itself, within the call.
        if (echoed) done(!error);
      };
      peripheral.on('connect', listen);
      peripheral.cancelConnect();
      echoed = true;
      return () => void peripheral.removeListener('connect', listen);
    }).catch(() => {
      throw new RadioFault('the adapter is stuck in connecting', true);
    });
    if (linked) peripheral.disconnect();
  }

  private onDiscover(peripheral: LibraryPeripheral): void {
    // The library swallows what is thrown in this handler, so nothing may be.
    const advert = readAdvert(peripheral, this.seen);
    this.known.set(advert.device, peripheral);
    for (const listen of this.advertListeners) listen(advert);
  }

  /** Another program's stop stops ours too. */
  private scanAgain(): void {
    if (this.state !== 'on' || this.rescan) return;
    this.rescan = setTimeout(() => {
      this.rescan = undefined;
      this.scan().catch(() => {});
    }, SCAN_AGAIN_AFTER_MS);
  }

  private turn(state: RadioState): void {
    if (state === this.state) return;
    this.state = state;
    for (const listen of this.stateListeners) listen(state);
  }
}

const STATES: Record<string, RadioState> = {
  poweredOn: 'on',
  poweredOff: 'off',
  unauthorized: 'unauthorized',
  unsupported: 'unsupported',
};

/** Ends links that a killed process left behind, which would keep their devices from advertising. */
export async function endLinks(handles: readonly number[]): Promise<void> {
  if (handles.length === 0) return;
  const noble = await loadLibrary();
  for (const handle of handles) noble._bindings._hci?.disconnect(handle);
}
