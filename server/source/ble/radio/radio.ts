/** State of the radio; each but `on` and `starting` has its remedy in radio-error.ts. */
export const RADIO_STATES = [
  'starting',
  'on',
  'off',
  'no-library',
  'no-kernel',
  'no-adapter',
  'no-answer',
  'unauthorized',
  'unsupported',
] as const;
export type RadioState = (typeof RADIO_STATES)[number];

export type Advert = {
  /** Address in lower case with colons, or what the operating system gives instead of one. */
  device: string;
  name?: string;
  /** dBm */
  rssi: number;
  connectable: boolean;
  services: readonly string[];
  /** By `fcd2` (service data of that UUID, which is left out) or `m:02e5` (manufacturer data, company left out). */
  data: readonly { advert: string; bytes: Uint8Array }[];
};

export type Characteristic = {
  service: string;
  characteristic: string;
  /** Tells apart those of one UUID in one service, by their order. */
  instance: number;
  can: { read: boolean; write: boolean; writeQuietly: boolean; notify: boolean };
};

export type Unsubscribe = () => void;

/** A call on the radio came to nothing. `stuck`: nothing more will come of this process, only of a fresh one. */
export class RadioFault extends Error {
  override name = 'RadioFault';
  readonly stuck: boolean;
  constructor(sentence: string, stuck = false) {
    super(sentence);
    this.stuck = stuck;
  }
}

/**
 * Port of the radio. Every promise resolves or rejects within a few seconds, those of a link at the latest
 * when it is lost.
 */
export interface Radio {
  /** Tells the present state at once, and each change. */
  onState(listen: (state: RadioState) => void): Unsubscribe;
  onAdvert(listen: (advert: Advert) => void): Unsubscribe;
  /** Listens for adverts, or does so again; harmless while it does. */
  scan(): Promise<void>;
  /** One at a time. `lost` is called once when the link ends, whoever ended it. @throws RadioFault */
  connect(device: string, lost: () => void): Promise<Link>;
  /** Lets go of what it remembers of a device that is not linked. */
  forget(device: string): void;
  close(): Promise<void>;
}

export interface Link {
  /** The controller's number of the link, so that one left behind by a killed process can be ended. */
  readonly handle: number | null;
  /** All characteristics, found out once a link. */
  discover(): Promise<readonly Characteristic[]>;
  /** Name and presentation format (0x2901 as text, 0x2904 as bytes), where it has them. */
  describe(of: Characteristic): Promise<{ name?: string; format?: Uint8Array }>;
  read(of: Characteristic): Promise<Uint8Array>;
  write(to: Characteristic, bytes: Uint8Array): Promise<void>;
  subscribe(to: Characteristic, onValue: (bytes: Uint8Array) => void): Promise<void>;
  /** dBm */
  rssi(): Promise<number>;
  close(): Promise<void>;
}
