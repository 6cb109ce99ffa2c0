import Fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from 'fastify';
import type { Problem } from '../../shared/api/api.ts';
import { Fault } from '../../shared/fault.ts';
import type { Access, Needs } from '../access/rights.ts';
import { asyncApi } from './asyncapi.ts';
import { bounded } from './upload-bound.ts';
import { STATUS, authorize } from './authorisation.ts';
import { openApi } from './openapi.ts';
import { pageOf, type FirstScreen } from './page.ts';
import { handle, needsOf, unfit, type Route } from './route.ts';

const TITLE: Record<number, string> = {
  400: 'Not understood',
  401: 'Not paired',
  403: 'Not allowed',
  404: 'Not found',
  409: 'Conflict',
  413: 'Too large',
  415: 'Not that kind of content',
  429: 'Too many requests',
  500: 'Server fault',
  503: 'Could not be stored',
};
const BODY_LIMIT_BYTES = 2 * 1024 * 1024;
const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
const HEADERS = {
  'content-security-policy': POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-resource-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'permissions-policy': 'camera=(), microphone=(), geolocation=(), payment=(), usb=()',
};

/** A call whose head does not come, or whose body does not end, gives its connection back, ms. */
export const TIMEOUTS = {
  headersTimeout: 10_000,
  requestTimeout: 300_000,
  connectionsCheckingInterval: 5_000,
  maxHeaderSize: 16_384,
};

/** Calls of one connection that are not answered yet: browsers send the next when they have the answer. */
const MAX_UNANSWERED = 8;

type Config = { needs?: Needs; takesText?: string | undefined };
const START = new Set(['/', '/index.html']);

/** Builds the HTTP side and never listens. @param page folder of the built page @param first what stands in it at once */
export function buildApp(
  routes: readonly Route[],
  page: string,
  version: string,
  access: Access,
  first?: FirstScreen,
): FastifyInstance {
  const app = Fastify({
    bodyLimit: BODY_LIMIT_BYTES,
    logger: false,
    forceCloseConnections: true,
    requestTimeout: TIMEOUTS.requestTimeout,
    http: TIMEOUTS,
    // What is no address never reaches the hooks.
    frameworkErrors: (error, _request, reply) => void sendError(reply.headers(HEADERS), error),
  });
  const unanswered = new WeakMap<object, number>();
  const answered = ({ raw }: FastifyRequest): void =>
    void unanswered.set(raw.socket, (unanswered.get(raw.socket) ?? 1) - 1);
  app.addHook('onResponse', async (request) => answered(request));
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(HEADERS);
    const calls = (unanswered.get(request.raw.socket) ?? 0) + 1;
    unanswered.set(request.raw.socket, calls);
    if (calls > MAX_UNANSWERED)
      throw new Fault(
        'too-many',
        `More than ${MAX_UNANSWERED} calls wait on this connection: let them be answered.`,
      );
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store');
    const { needs } = request.routeOptions.config as Config; // set with each route below
    // The page itself tells nothing, so anyone may have it; what has no route has nothing to tell either.
    const { right } = authorize(request.raw, needs ?? 'open', access);
    if (right === null && START.has(request.url)) return reply.redirect('/enter.html');
  });
  for (const kind of new Set(routes.flatMap((route) => route.takesText ?? [])))
    app.addContentTypeParser(kind, ({ routeOptions }, payload, done) => {
      if ((routeOptions.config as Config).takesText !== kind)
        return done(unfit('application/json'), undefined);
      const limited = bounded();
      payload.once('error', (error) => limited.destroy(error));
      done(null, payload.pipe(limited));
    });
  app.setErrorHandler((error, request, reply) => {
    // A call that broke off is no fault of ours, and nobody is there for an answer.
    if (request.raw.socket.destroyed && codeOf(error) === 'ECONNRESET') return reply.send();
    return sendError(reply, error);
  });
  app.setNotFoundHandler((request, reply) => refuse(reply, 404, `There is nothing at ${request.url}.`));
  for (const route of routes)
    app.route({
      method: route.method,
      url: route.path,
      config: { needs: needsOf(route), takesText: route.takesText } satisfies Config,
      handler: (request, reply) => handle(route, request, reply),
    });
  // Described when it is first asked for: it takes a third of a start.
  let described: ReturnType<typeof openApi> | undefined;
  app.get(
    '/api/openapi.json',
    { config: { needs: 'look' } satisfies Config },
    () => (described ??= openApi(routes, version)),
  );
  let events: ReturnType<typeof asyncApi> | undefined;
  app.get(
    '/api/asyncapi.json',
    { config: { needs: 'look' } satisfies Config },
    () => (events ??= asyncApi(version)),
  );
  app.get('/*', pageOf(page, first));
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

const codeOf = (error: unknown): unknown =>
  typeof error === 'object' && error !== null && 'code' in error ? error.code : undefined;

const statusOf = (error: unknown): number =>
  typeof error === 'object' && error !== null && 'statusCode' in error && typeof error.statusCode === 'number'
    ? error.statusCode
    : 500;
