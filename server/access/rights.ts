import { isIP } from 'node:net';
import { allows, type CodeAnswer, type Right, type Trust, type WhoAsks } from '../../shared/api/access.ts';
import { Fault } from '../../shared/fault.ts';
import type { DeviceShelf, StoredDevice } from '../store/device-verbs.ts';
import { countedAs } from './private-networks.ts';
import { fingerprintOf, type Identity } from './authority.ts';
import { createLimit } from './rate-limit.ts';
import { createCodes, type Code } from './pairing-codes.ts';
import { tokenOf } from './cookie.ts';
import { createDevices, type Devices } from './paired-devices.ts';

/** What a path needs of who asks; `open` is for everyone who can reach the server. */
export type Needs = Right | 'open';
/** One who asks, as far as letting in goes. */
export type Caller = {
  /** Whether they came over HTTPS, which the home network does; the server's own machine does not. */
  secure: boolean;
  cookie: string | undefined;
  address: string;
};
export type Principal = { right: Right | null; device: StoredDevice | null };

type AccessParts = {
  shelf: DeviceShelf;
  clock: { wall(): number; mono(): number };
  /** null where the server is on its own machine only. */
  identity: Identity | null;
  /** Of HTTPS. */
  port(): number;
  /** Puts a code where only people at the server see it; null where no terminal is. */
  show: ((code: string, minutes: number) => void) | null;
  /** A device was revoked: what it has open is to be closed. */
  revoked(device: string): void;
};

export type Access = {
  /** Host names beside this machine's own that the certificate is for. */
  names: ReadonlySet<string>;
  principal(caller: Caller): Principal;
  /** @throws Fault `too-many`, `unauthenticated` or `forbidden` */
  admit(caller: Caller, needs: Needs): Principal;
  who(caller: Caller): WhoAsks;
  openCode(right: Right): CodeAnswer;
  /** @throws Fault as `Codes.use` says */
  enter(caller: Caller, code: string, name: string): Promise<{ id: string; token: string; right: Right }>;
  devices(): StoredDevice[];
  revoke(id: string): Promise<void>;
  trust(): Trust;
  authority(): string | null;
};

/** Ten pages of one device may come back at once, each with a dozen files; then ten calls a second. */
const RATE_LIMIT = { most: 300, perSecond: 10 };

/** Who is let in, and for what. The server's own machine is; a device of the home network needs a code once. */
export function createAccess(parts: AccessParts): Access {
  const { clock, identity } = parts;
  const devices = createDevices(parts.shelf);
  const codes = createCodes();
  const limit = createLimit(RATE_LIMIT);
  const seconds = (): number => clock.mono() / 1000;
  const principal = principalBy(devices, () => clock.wall());
  let shown: Code | null = null;

  /**
   * An unauthenticated device asks: the terminal shows a pairing code, unless one that it showed is still
   * valid.
   */
  function showPairingCode(): void {
    if (!parts.show || (shown && codes.isOpen(shown.digits, seconds()))) return;
    shown = codes.open('act', seconds());
    parts.show(spaced(shown.digits), Math.round((shown.until - seconds()) / 60));
  }
  return {
    names: new Set(identity?.names),
    principal,
    admit(caller, needs) {
      if (caller.secure && !limit.take(countedAs(caller.address), seconds()))
        throw new Fault('too-many', 'This device sends too many requests: wait a moment.');
      const found = principal(caller);
      if (needs === 'open' || allows(found.right, needs)) return found;
      if (found.right === null)
        throw new Fault(
          'unauthenticated',
          'This device is not paired: open the page and type the code that it asks for.',
        );
      throw new Fault('forbidden', 'This device may only look: pair it again with a code that lets it act.');
    },
    who(caller) {
      const { right, device } = principal(caller);
      if (right === null) showPairingCode();
      return { right, device: device?.id ?? null, lan: identity !== null };
    },
    openCode(right) {
      if (!identity)
        throw new Fault(
          'conflict',
          'No other device can connect: start the server with --lan to let some in.',
        );
      const { digits, until } = codes.open(right, seconds());
      return { code: spaced(digits), right, seconds: Math.round(until - seconds()) };
    },
    async enter(caller, code, name) {
      const right = codes.use(code, caller.address, seconds());
      return { ...(await devices.add(name, right, clock.wall())), right };
    },
    devices: () => devices.list(clock.wall()),
    async revoke(id) {
      await devices.revoke(id);
      parts.revoked(id);
    },
    trust: () => trustOf(identity, parts.port()),
    authority: () => identity?.authority ?? null,
  };
}

const principalBy =
  (devices: Devices, wall: () => number) =>
  ({ secure, cookie }: Caller): Principal => {
    if (!secure) return { right: 'act', device: null };
    const token = tokenOf(cookie);
    const device = token === null ? null : devices.find(token, wall());
    return { right: device?.right ?? null, device };
  };

const spaced = (digits: string): string => digits.replace(/(\d{4})(?=\d)/, '$1 ');

/** Addresses before names: not every network knows the names of its machines. */
function trustOf(identity: Identity | null, port: number): Trust {
  if (!identity) return { addresses: [], fingerprint: null };
  const { authority, names, addresses } = identity;
  const numbers = addresses.map((address) => (isIP(address) === 6 ? `[${address}]` : address));
  const hosts = authority === null ? names : [...numbers, ...names.filter((name) => name !== 'localhost')];
  return {
    addresses: hosts.filter((host) => !host.startsWith('*')).map((host) => `https://${host}:${port}`),
    fingerprint: authority === null ? null : fingerprintOf(authority),
  };
}
