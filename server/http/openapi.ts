import { z } from 'zod';
import { problem } from '../../shared/api.ts';
import { COOKIE_NAME } from '../access/cookie.ts';
import { needsOf, type Route } from './route.ts';

const jsonSchema = (schema: z.ZodType, io: 'input' | 'output'): Record<string, unknown> => {
  const { $schema, ...rest } = z.toJSONSchema(schema, { io, unrepresentable: 'any' });
  void $schema; // OpenAPI 3.1 names the dialect once for the whole document
  return rest;
};

const parameters = (schema: z.ZodObject | undefined, where: 'path' | 'query') =>
  Object.entries(schema?.shape ?? {}).map(([name, one]) => ({
    name,
    in: where,
    required: where === 'path',
    schema: jsonSchema(one as z.ZodType, 'input'), // a member of an object schema is a schema
  }));

function requestBody(one: Route) {
  if (one.takesText) return { required: true, content: { [one.takesText]: { schema: { type: 'string' } } } };
  if (one.body)
    return { required: true, content: { 'application/json': { schema: jsonSchema(one.body, 'input') } } };
  return undefined;
}

function answers(one: Route) {
  const content = one.givesFile
    ? { [one.givesFile]: { schema: { type: 'string' } } }
    : { 'application/json': { schema: one.answer ? jsonSchema(one.answer, 'output') : {} } };
  return {
    [String(one.status)]: { description: one.summary, content },
    default: {
      description: 'What was wrong and what to do (RFC 9457).',
      content: { 'application/problem+json': { schema: jsonSchema(problem, 'output') } },
    },
  };
}

/** OpenAPI 3.1 of the routes, from the schemas that validate them. */
export function openApi(routes: readonly Route[], version: string): Record<string, unknown> {
  const paths: Record<string, Record<string, unknown>> = {};
  for (const one of routes) {
    const path = one.path.replaceAll(/:(\w+)/g, '{$1}');
    const body = requestBody(one);
    (paths[path] ??= {})[one.method.toLowerCase()] = {
      summary: one.summary,
      operationId: `${one.method.toLowerCase()}${path.replaceAll(/[^a-zA-Z]+(\w)?/g, (_, c: string | undefined) => (c ?? '').toUpperCase())}`,
      security: needsOf(one) === 'open' ? [] : [{ device: [needsOf(one)] }],
      parameters: [...parameters(one.params, 'path'), ...parameters(one.query, 'query')],
      ...(body && { requestBody: body }),
      responses: answers(one),
    };
  }
  return {
    openapi: '3.1.0',
    info: { title: 'peelside', version, description: 'Live changes come over WebSocket at /api/live.' },
    components: {
      securitySchemes: {
        device: {
          type: 'apiKey',
          in: 'cookie',
          name: COOKIE_NAME,
          description:
            'Over HTTPS only; the server’s own machine needs none. Roles: look, or act, which includes look.',
        },
      },
    },
    paths,
  };
}
