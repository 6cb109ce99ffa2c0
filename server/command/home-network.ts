import type { RequestListener, Server } from 'node:http';
import { createAccess, type Access } from '../access/rights.ts';
import type { Live } from '../hub/broadcast.ts';
import { createLine } from '../hub/socket.ts';
import { callerOf } from '../http/caller.ts';
import { authorizeLive } from '../http/authorisation.ts';
import type { DeviceShelf } from '../store/device-verbs.ts';
import {
  addressesOf,
  createLanServer,
  identityOf,
  keepFresh,
  lanPortOf,
  listen,
  showCode,
  tellLan,
  type LanOptions,
} from './serving/lan.ts';

type HomeParts = {
  options: LanOptions;
  /** Of HTTPS. */
  port: number;
  folder: string;
  shelf: DeviceShelf;
  clock: { wall(): number; mono(): number };
  live: Live;
};
export type Home = {
  access: Access;
  /** Puts the live line on the plain server, and all that it answers on HTTPS where `--lan` says so. */
  serve(plain: Server, handle: RequestListener): void;
  /** Opens the home network. @throws the error of listening */
  listen(): Promise<void>;
  /** Says on the terminal where devices find the server. */
  tell(): void;
  stop(): void;
};

/** Everything about who comes in, put together. @throws Fault where the certificate can't be used */
export function createHome({ options, port, folder, shelf, clock, live }: HomeParts): Home {
  const { lan: host } = addressesOf(options);
  const identity = host === null ? null : identityOf(options, folder);
  let server: ReturnType<typeof createLanServer> | null = null;
  let stale = (): void => {};
  const access = createAccess({
    shelf,
    clock,
    identity,
    port: () => lanPortOf(server) ?? port,
    show: showCode,
    revoked: (device) => line.dismiss(device),
  });
  const line = createLine(live, (request) => authorizeLive(request, access));
  return {
    access,
    serve(plain, handle) {
      line.serve(plain);
      if (!identity) return;
      server = createLanServer(
        identity,
        handle,
        (request) => access.principal(callerOf(request)).right !== null,
      );
      line.serve(server);
    },
    async listen() {
      if (!server || host === null) return;
      await listen(server, host, port);
      stale = keepFresh(server, options, folder);
    },
    tell() {
      if (identity) tellLan(identity, access.trust().addresses);
    },
    stop() {
      stale();
      line.stop();
      server?.closeAllConnections();
      server?.close();
    },
  };
}
