import { Readable } from 'node:stream';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { MAX_DEPTH, isBounded } from '../../shared/bounds.ts';
import { Fault, firstIssue } from '../../shared/fault.ts';
import { strict } from '../../shared/api/strict.ts';
import type { Needs } from '../access/rights.ts';

/** One path of the API: what it takes and answers, by the schemas that validate it and describe it. */
export type Route = {
  method: 'GET' | 'POST' | 'PATCH' | 'DELETE' | 'PUT';
  /** In Fastify's form, `/api/cooks/:id`. */
  path: string;
  summary: string;
  /**
   * What a device of the home network needs; where it is absent, GET is for those who may look, all else to
   * act.
   */
  needs?: Needs;
  params?: z.ZodObject;
  query?: z.ZodObject;
  body?: z.ZodType;
  /** A body that is text of this type instead of JSON, handed on as a stream. */
  takesText?: string;
  status: 200 | 201 | 202;
  answer?: z.ZodType;
  /** An answer that is a file of this type. */
  givesFile?: string;
  act(input: RouteInput): unknown;
};

type RouteInput = {
  params: Record<string, unknown>;
  query: Record<string, unknown>;
  body: unknown;
  request: FastifyRequest;
  reply: FastifyReply;
};

export const needsOf = (entry: Pick<Route, 'method' | 'needs'>): Needs =>
  entry.needs ?? (entry.method === 'GET' ? 'look' : 'act');

type RouteOf<P, Q, B> = Omit<Route, 'method' | 'path' | 'status' | 'act' | 'params' | 'query' | 'body'> & {
  status?: Route['status'];
  params?: P;
  query?: Q;
  body?: B;
  act(input: {
    params: P extends z.ZodType ? z.infer<P> : Record<string, never>;
    query: Q extends z.ZodType ? z.infer<Q> : Record<string, never>;
    body: B extends z.ZodType ? z.infer<B> : undefined;
    request: FastifyRequest;
    reply: FastifyReply;
  }): unknown;
};

/**
 * Writes a route down with `act` typed by its schemas, in which a name that is not known is refused.
 * @param on method and path, as in `GET /api/cooks/:id`
 */
export function route<P extends z.ZodObject, Q extends z.ZodObject, B extends z.ZodType>(
  on: `${Route['method']} /${string}`,
  { query, body, status = 200, ...definition }: RouteOf<P, Q, B>,
): Route {
  const [method, path] = on.split(' ') as [Route['method'], string]; // as its type says
  return {
    ...definition,
    method,
    path,
    status,
    ...(query && { query: strict(query) }),
    ...(body && { body: strict(body) }),
  };
}

/** The answer of a route that gives nothing back; what its `act` returns is dropped. */
export const done = z.object({ done: z.literal(true) });

const NOTHING = z.strictObject({}).nullish();

/** @throws Fault `invalid` naming the entry that is wrong */
function validated(schema: z.ZodType | undefined, value: unknown): unknown {
  if (!schema) return {};
  if (!isBounded(value))
    throw new Fault('invalid', `This is nested more than ${MAX_DEPTH} levels deep: nothing here is.`);
  const parsed = schema.safeParse(value ?? {});
  if (parsed.success) return parsed.data;
  const { at, text } = firstIssue(parsed.error.issues);
  throw new Fault('invalid', `${text}.`, at);
}

export const unfit = (wanted: string): Fault => new Fault('unfit', `This is sent as ${wanted}.`);

export async function handle(entry: Route, request: FastifyRequest, reply: FastifyReply): Promise<unknown> {
  if (entry.takesText && !(request.body instanceof Readable)) throw unfit(entry.takesText);
  const input: RouteInput = {
    params: validated(entry.params, request.params) as Record<string, unknown>, // an object schema gives an object
    query: validated(entry.query, request.query) as Record<string, unknown>, // likewise
    body: entry.takesText ? request.body : validated(entry.body ?? NOTHING, request.body),
    request,
    reply,
  };
  reply.code(entry.status);
  const answer = await entry.act(input);
  if (entry.givesFile) return reply.type(entry.givesFile).send(answer);
  return entry.answer === done ? { done: true } : answer;
}
