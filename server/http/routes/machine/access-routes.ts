import { z } from 'zod';
import {
  askCode,
  code,
  device,
  deviceList,
  enter,
  entered,
  trust,
  whoAsks,
  type Device,
} from '../../../../shared/api/access.ts';
import { Fault } from '../../../../shared/fault.ts';
import type { Access } from '../../../access/rights.ts';
import { derOf } from '../../../access/authority.ts';
import { cookieWith, cookieWithout } from '../../../access/cookie.ts';
import { qrSvg } from '../../../access/qr.ts';
import { callerOf } from '../../caller.ts';
import { done, route, type Route } from '../../route.ts';

const instant = (at: number): string => new Date(at).toISOString();

/** Letting devices of the home network in and out. */
export const accessRoutes = (access: Access): Route[] => [
  ...enterRoutes(access),
  ...deviceRoutes(access),
  ...trustRoutes(access),
];

const enterRoutes = (access: Access): Route[] => [
  route('GET /api/access', {
    summary: 'What the caller may do; where it is not paired, the terminal shows a pairing code.',
    needs: 'open',
    answer: whoAsks,
    act: ({ request }) => access.who(callerOf(request.raw)),
  }),
  route('POST /api/access/enter', {
    summary: 'Lets a device in by a code; the answer sets its cookie.',
    needs: 'open',
    body: enter,
    status: 201,
    answer: entered,
    act: async ({ body, request, reply }) => {
      const caller = callerOf(request.raw);
      if (!caller.secure)
        throw new Fault('conflict', 'The server’s own machine needs no code: it may do everything already.');
      const { id, token, right } = await access.enter(caller, body.code, body.name);
      reply.header('set-cookie', cookieWith(token));
      return { right, device: id };
    },
  }),
  route('POST /api/access/codes', {
    summary: 'A code that lets one more device in.',
    body: askCode,
    status: 201,
    answer: code,
    act: ({ body }) => access.openCode(body.right),
  }),
  route('POST /api/access/leave', {
    summary: 'Forgets the device that asks.',
    needs: 'look',
    answer: done,
    act: async ({ request, reply }) => {
      const { device: asking } = access.principal(callerOf(request.raw));
      if (asking) await access.revoke(asking.id);
      reply.header('set-cookie', cookieWithout());
    },
  }),
];

const deviceRoutes = (access: Access): Route[] => [
  route('GET /api/access/devices', {
    summary: 'The devices that were let in.',
    needs: 'act',
    answer: deviceList,
    act: ({ request }) => {
      const me = access.principal(callerOf(request.raw)).device?.id;
      const devices = access.devices().map(({ id, name, right, enteredAt, seenAt }): Device => ({
        id,
        name,
        right,
        enteredAt: instant(enteredAt),
        seenAt: instant(seenAt),
        asking: id === me,
      }));
      return { devices };
    },
  }),
  route('DELETE /api/access/devices/:id', {
    summary: 'Revokes a device, at once.',
    params: z.object({ id: device.shape.id.max(64) }),
    answer: done,
    act: ({ params }) => access.revoke(params.id),
  }),
];

const trustRoutes = (access: Access): Route[] => [
  route('GET /api/access/trust', {
    summary: 'Where devices of the home network find the server, and the fingerprint of its authority.',
    needs: 'open',
    answer: trust,
    act: () => access.trust(),
  }),
  route('GET /api/access/qr.svg', {
    summary: 'The address of the page on how to trust this server, as a QR code.',
    needs: 'open',
    givesFile: 'image/svg+xml',
    act: () => {
      const [address] = access.trust().addresses;
      if (address === undefined) throw new Fault('not-found', 'The server is not open to the home network.');
      return qrSvg(`${address}/trust.html`);
    },
  }),
  route('GET /api/access/authority.crt', {
    summary: 'The certificate of the local authority, to be trusted once on each device.',
    needs: 'open',
    givesFile: 'application/x-x509-ca-cert',
    act: ({ reply }) => {
      const authority = access.authority();
      if (authority === null) throw new Fault('not-found', 'There is no local authority here.');
      reply.header('content-disposition', 'attachment; filename="peelside-authority.crt"');
      return derOf(authority);
    },
  }),
];
