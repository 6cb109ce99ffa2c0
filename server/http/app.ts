import fastifyStatic from '@fastify/static';
import Fastify, { type FastifyInstance, type FastifyReply } from 'fastify';
import type { Problem } from '../../shared/api.ts';
import { Fault, type FaultCode } from '../../shared/fault.ts';
import { isOurHost, isOurOrigin } from './host.ts';
import { openApi } from './openapi.ts';
import { handle, type Route } from './route.ts';

const STATUS: Record<FaultCode, number> = {
  invalid: 400,
  'not-found': 404,
  conflict: 409,
  'too-large': 413,
  unkept: 503,
  unusable: 500,
};
const TITLE: Record<number, string> = {
  400: 'Not understood',
  403: 'Not allowed',
  404: 'Not found',
  409: 'Not now',
  413: 'Too large',
  415: 'Not that kind of content',
  500: 'Our mistake',
  503: 'Could not be kept',
};
const BODY_LIMIT = 2 * 1024 * 1024;
const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** Builds the HTTP side and never listens. @param page folder of the built page */
export function buildApp(routes: readonly Route[], page: string, version: string): FastifyInstance {
  const app = Fastify({ bodyLimit: BODY_LIMIT, logger: false, forceCloseConnections: true });
  app.addHook('onRequest', async (request, reply) => {
    reply.header('content-security-policy', POLICY).header('x-content-type-options', 'nosniff');
    reply.header('referrer-policy', 'no-referrer');
    const { origin, host } = request.headers;
    if (!isOurHost(host)) return refuse(reply, 403, 'This server answers on its own address only.');
    if (!isOurOrigin(origin, host))
      return refuse(reply, 403, 'Pages of other sites may not use this server.');
  });
  for (const kind of new Set(routes.flatMap((one) => one.takesText ?? [])))
    app.addContentTypeParser(kind, (_request, payload, done) => done(null, payload));
  app.setErrorHandler((error, _request, reply) => sendError(reply, error));
  app.setNotFoundHandler((request, reply) => refuse(reply, 404, `There is nothing at ${request.url}.`));
  for (const one of routes)
    app.route({
      method: one.method,
      url: one.path,
      handler: (request, reply) => handle(one, request, reply),
    });
  const described = openApi(routes, version);
  app.get('/api/openapi.json', () => described);
  void app.register(fastifyStatic, { root: page, preCompressed: true, cacheControl: false, etag: true });
  return app;
}

function refuse(reply: FastifyReply, status: number, detail: string, at?: string): FastifyReply {
  const body: Problem = {
    type: 'about:blank',
    title: TITLE[status] ?? 'Error',
    status,
    detail,
    ...(at && { at }),
  };
  return reply.code(status).type('application/problem+json').send(JSON.stringify(body));
}

function sendError(reply: FastifyReply, error: unknown): FastifyReply {
  if (error instanceof Fault) return refuse(reply, STATUS[error.code], error.message, error.at);
  const status = statusOf(error);
  if (status < 500)
    return refuse(reply, status, error instanceof Error ? `${error.message}.` : 'That was not understood.');
  console.error(error);
  return refuse(reply, 500, 'Something went wrong on the server; its terminal says what.');
}

const statusOf = (error: unknown): number =>
  typeof error === 'object' && error !== null && 'statusCode' in error && typeof error.statusCode === 'number'
    ? error.statusCode
    : 500;
