import { z } from 'zod';
import { escalated } from '../../shared/api/escalation.ts';
import { liveChange, liveHeartbeat, liveSnapshot } from '../../shared/api/live.ts';
import { PUBLISHED } from '../../shared/api/publish.ts';

type Described = { schema: z.ZodType; summary: string };

/** AsyncAPI's own dialect is a superset of JSON Schema draft 7. */
const payloadOf = (schema: z.ZodType): Record<string, unknown> => {
  const { $schema, ...rest } = z.toJSONSchema(schema, {
    target: 'draft-7',
    io: 'output',
    unrepresentable: 'any',
  });
  void $schema;
  return rest;
};

const LIVE = {
  snapshot: { schema: liveSnapshot, summary: 'The whole live document, first and after what was missed.' },
  change: { schema: liveChange, summary: 'Members of it that changed, and the new readings.' },
  heartbeat: { schema: liveHeartbeat, summary: 'Nothing changed; at least every 2 s.' },
} as const;

const ref = (path: string): { $ref: string } => ({ $ref: `#/${path}` });
/** "reading/{channel}" as a key. */
const keyOf = (topic: string): string => topic.replaceAll(/\W.*$/g, '');

const PARAMETERS = {
  prefix: { description: 'As set: PATCH /api/broker.', default: 'peelside' },
  channel: { description: 'Id of a channel, percent-encoded (RFC 3986).', examples: ['stone', 'dome'] },
};

function channelOf(topic: string) {
  const named = Object.entries(PARAMETERS).filter(([name]) => topic.includes(`{${name}}`));
  return {
    address: `{prefix}/${topic}`,
    servers: [ref('servers/broker')],
    parameters: Object.fromEntries([['prefix', PARAMETERS.prefix], ...named]),
    messages: { [keyOf(topic)]: ref(`components/messages/${keyOf(topic)}`) },
  };
}

function sendOf(channel: string, summary: string, names: readonly string[], retain: boolean | null) {
  return {
    action: 'send',
    channel: ref(`channels/${channel}`),
    summary,
    messages: names.map((name) => ref(`channels/${channel}/messages/${name}`)),
    ...(retain !== null && { bindings: { mqtt: { qos: 1, retain, bindingVersion: '0.2.0' } } }),
  };
}

const messageOf = ([name, { schema, summary }]: [string, Described]): [string, Record<string, unknown>] => [
  name,
  { name, summary, contentType: 'application/json', payload: payloadOf(schema) },
];

/** AsyncAPI 3.0 of all that peelside sends by itself, from the schemas that it is made by. */
export function asyncApi(version: string): Record<string, unknown> {
  const topics = Object.entries(PUBLISHED);
  const notice: Described = { schema: escalated, summary: 'An urgent alert that nobody has seen.' };
  const messages = [
    ...Object.entries(LIVE),
    ...topics.map(([topic, described]): [string, Described] => [keyOf(topic), described]),
    ['notice', notice] satisfies [string, Described],
  ].map(messageOf);
  return {
    asyncapi: '3.0.0',
    info: {
      title: 'peelside',
      version,
      description: 'What peelside sends by itself; /api/openapi.json describes what it answers.',
    },
    defaultContentType: 'application/json',
    servers: {
      page: {
        host: '127.0.0.1:8180',
        protocol: 'ws',
        description:
          'This server; over the home network by wss and with the cookie of a device that may look.',
      },
      broker: {
        host: 'broker.local:1883',
        protocol: 'mqtt',
        description:
          'The user’s own broker: MQTT 3.1.1 or 5, TLS by mqtts. Nothing is published until it is set.',
      },
    },
    channels: {
      live: {
        address: '/api/live',
        servers: [ref('servers/page')],
        messages: Object.fromEntries(
          Object.keys(LIVE).map((name) => [name, ref(`components/messages/${name}`)]),
        ),
        bindings: { ws: { method: 'GET', query: payloadOf(asked), bindingVersion: '0.1.0' } },
      },
      ...Object.fromEntries(topics.map(([topic]) => [keyOf(topic), channelOf(topic)])),
      notice: {
        address: '{topic}',
        servers: [ref('servers/broker')],
        parameters: { topic: { description: 'As set: PATCH /api/escalation.', default: 'peelside/alert' } },
        messages: { notice: ref('components/messages/notice') },
      },
    },
    operations: {
      live: sendOf('live', 'The live document, then what changes.', Object.keys(LIVE), null),
      ...Object.fromEntries(
        topics.map(([topic, { summary }]) => [
          keyOf(topic),
          sendOf(keyOf(topic), summary, [keyOf(topic)], true),
        ]),
      ),
      notice: sendOf('notice', notice.summary, ['notice'], false),
    },
    components: { messages: Object.fromEntries(messages) },
  };
}

/** What a page that comes back asks for. */
const asked = z.object({ since: z.number().int().optional(), run: z.string().optional() });
