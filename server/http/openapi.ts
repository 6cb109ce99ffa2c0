import { z } from 'zod';
import { problem } from '../../shared/api/api.ts';
import { COOKIE_NAME } from '../access/cookie.ts';
import { createBreath } from '../store/breath.ts';
import { needsOf, type Route } from './route.ts';

const jsonSchema = (schema: z.ZodType, io: 'input' | 'output'): Record<string, unknown> => {
  const { $schema, ...rest } = z.toJSONSchema(schema, { io, unrepresentable: 'any' });
  void $schema; // OpenAPI 3.1 names the dialect once for the whole document
  return rest;
};

const parameters = (schema: z.ZodObject | undefined, where: 'path' | 'query') =>
  Object.entries(schema?.shape ?? {}).map(([name, route]) => ({
    name,
    in: where,
    required: where === 'path',
    schema: jsonSchema(route as z.ZodType, 'input'), // a member of an object schema is a schema
  }));

function requestBody(route: Route) {
  if (route.takesText)
    return { required: true, content: { [route.takesText]: { schema: { type: 'string' } } } };
  if (route.body)
    return {
      required: !route.body.safeParse(undefined).success,
      content: { 'application/json': { schema: jsonSchema(route.body, 'input') } },
    };
  return undefined;
}

function answers(route: Route) {
  const content = route.givesFile
    ? { [route.givesFile]: { schema: { type: 'string' } } }
    : { 'application/json': { schema: route.answer ? jsonSchema(route.answer, 'output') : {} } };
  return {
    [String(route.status)]: { description: route.summary, content },
    default: {
      description: 'What was wrong and what to do (RFC 9457).',
      content: { 'application/problem+json': { schema: jsonSchema(problem, 'output') } },
    },
  };
}

/** OpenAPI 3.1 of the routes, from the schemas that validate them; with breaths between, since it takes a while. */
export async function openApi(routes: readonly Route[], version: string): Promise<Record<string, unknown>> {
  const paths: Record<string, Record<string, unknown>> = {};
  const breathe = createBreath();
  for (const route of routes) {
    await breathe();
    const path = route.path.replaceAll(/:(\w+)/g, '{$1}');
    const body = requestBody(route);
    (paths[path] ??= {})[route.method.toLowerCase()] = {
      summary: route.summary,
      operationId: `${route.method.toLowerCase()}${path.replaceAll(/[^a-zA-Z]+(\w)?/g, (_, c: string | undefined) => (c ?? '').toUpperCase())}`,
      security: needsOf(route) === 'open' ? [] : [{ device: [needsOf(route)] }],
      parameters: [...parameters(route.params, 'path'), ...parameters(route.query, 'query')],
      ...(body && { requestBody: body }),
      responses: answers(route),
    };
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'peelside',
      version,
      description:
        'Live changes come over WebSocket at /api/live and, where it is set, by MQTT: /api/asyncapi.json describes both.',
    },
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
