import type { EventEmitter } from 'node:events';

/**
 * The part of @abandonware/noble 1.9.2-26 that is used, with the members its own types leave out. Those with an
 * underscore are its insides: its caches grow without bound and its services and characteristics are keyed by UUID, so
 * that several of one kind can only be distinguished by registering the raw lists again under keys of our
 * own.
 */
export type Library = EventEmitter & {
  startScanning(services: string[], allowDuplicates: boolean): void;
  addServices(peripheral: string, services: RawService[]): LibraryService[];
  addCharacteristics(peripheral: string, service: string, raw: RawCharacteristic[]): LibraryCharacteristic[];
  _peripherals: Record<string, LibraryPeripheral>;
  _services: Record<string, unknown>;
  _characteristics: Record<string, unknown>;
  _descriptors: Record<string, unknown>;
  _discoveredPeripheralUUids: Record<string, unknown>;
  _bindings: {
    _handles?: Record<string, number>;
    _addresses?: Record<string, unknown>;
    _addresseTypes?: Record<string, unknown>;
    _connectable?: Record<string, unknown>;
    scannable?: Record<string, unknown>;
    _gap?: { _discoveries: Record<string, unknown> };
    _hci?: { disconnect(handle: number): void };
  };
};

export type LibraryPeripheral = EventEmitter & {
  id: string;
  address: string;
  connectable: boolean;
  rssi: number;
  state: 'error' | 'connecting' | 'connected' | 'disconnecting' | 'disconnected';
  advertisement: {
    localName?: string;
    serviceUuids?: string[];
    serviceData?: { uuid: string; data: Buffer }[];
    manufacturerData?: Buffer;
  };
  connect(options: Record<string, number>): void;
  cancelConnect(): void;
  disconnect(): void;
  discoverServices(uuids: string[]): void;
  updateRssi(): void;
};

export type RawService = { uuid: string; startHandle: number; endHandle: number };
export type RawCharacteristic = { uuid: string; propsDecoded: string[] };

export type LibraryService = EventEmitter & {
  uuid: string;
  discoverCharacteristics(uuids: string[]): void;
};

export type LibraryCharacteristic = EventEmitter & {
  read(): void;
  write(bytes: Buffer, withoutResponse: boolean): void;
  notify(on: boolean): void;
  discoverDescriptors(): void;
};

export type LibraryDescriptor = EventEmitter & { uuid: string; readValue(): void };

/** The one import. It throws where the kernel has no Bluetooth, and only the default export works from here. */
export async function loadLibrary(): Promise<Library> {
  // Each advertisement at once, not only when a scan response or a second one came.
  process.env['NOBLE_REPORT_ALL_HCI_EVENTS'] = '1';
  const { default: library } = await import('@abandonware/noble');
  // Its own types describe a module of functions and leave the insides out; Library says what is really there.
  return library as unknown as Library;
}

/** Listens once; @returns the off switch */
export function once<A extends unknown[]>(
  emitter: EventEmitter,
  event: string,
  act: (...args: A) => void,
): () => void {
  // The library's emitters are untyped: what comes with an event is as its source says.
  const listener = act as (...args: unknown[]) => void;
  emitter.once(event, listener);
  return () => void emitter.removeListener(event, listener);
}
