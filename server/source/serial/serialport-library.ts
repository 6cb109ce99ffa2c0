/** The only file that knows the serialport library; loaded when a port is first opened. */

export type PortEvents = {
  data(bytes: Uint8Array): void;
  /** The port is gone or was closed; called once. */
  closed(): void;
};

export type OpenedPort = {
  write(bytes: Uint8Array): void;
  /** Changes the rate without closing, since opening resets some boards. */
  changeRate(rate: number): Promise<void>;
  close(): Promise<void>;
};

/** @throws Error with the operating system's words when it can't be opened */
export type OpenPort = (path: string, rate: number, events: PortEvents) => Promise<OpenedPort>;

/** @throws Error where npm left the library out, or could not build its native part */
export const loadLibrary = () => import('serialport');

export const openPort: OpenPort = async (path, rate, events) => {
  const { SerialPort } = await loadLibrary();
  const port = new SerialPort({ path, baudRate: rate, autoOpen: false });
  port.on('data', (bytes: Buffer) => events.data(bytes));
  // What goes wrong on an open port closes it, too.
  port.on('error', () => {});
  await new Promise<void>((resolve, reject) => {
    port.open((error) => (error ? reject(error) : resolve()));
  });
  port.once('close', () => {
    port.removeAllListeners('data');
    events.closed();
  });
  return {
    write: (bytes) => void port.write(Buffer.from(bytes)),
    changeRate: (baudRate) =>
      new Promise((resolve, reject) => {
        port.update({ baudRate }, (error) => (error ? reject(error) : resolve()));
      }),
    close: () =>
      new Promise((resolve) => {
        if (!port.isOpen) return resolve();
        port.close(() => resolve());
      }),
  };
};

export type ListedPort = {
  path: string;
  manufacturer?: string | undefined;
  serialNumber?: string | undefined;
  locationId?: string | undefined;
  vendorId?: string | undefined;
  productId?: string | undefined;
};

/** Where the operating system is not Linux. */
export async function listByLibrary(): Promise<ListedPort[]> {
  const { SerialPort } = await loadLibrary();
  return SerialPort.list();
}
