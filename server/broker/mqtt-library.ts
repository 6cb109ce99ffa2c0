import type { IClientOptions } from 'mqtt';
import type { BrokerAccess } from '../../shared/api/broker.ts';

/** The only file that knows the MQTT library; loaded when a broker is first needed, since most have none. */

/** A broker that has not answered by then does not, ms. */
const CONNECT_TIMEOUT_MS = 10_000;
/** A broker that has not taken our end by then is left, ms. */
export const DISCONNECT_TIMEOUT_MS = 1000;
/** A connection that ended without notice is detected after one and a half of these, s. */
const KEEPALIVE_SECONDS = 10;
/** More than any thermometer publishes; what a broker sends beyond it is not waited for, bytes. */
const MAX_IN_PACKET = 256 * 1024;

/**
 * A house says some hundred things a second, and those that a broker had kept come all at once. What one topic says too much of
 * is left out by who listens (server/source/guarded.ts); beyond this nothing else would be heard.
 */
const MAX_PER_SECOND = 5000;

export type Message = {
  topic: string;
  payload: Uint8Array;
  /** The broker had it from before this subscription (MQTT 5.0, 3.3.1.3). */
  retained: boolean;
};

export type LinkEvents = {
  message(message: Message): void;
  /** The link is over; called once, not after `close`. */
  closed(why: string): void;
};

export type Publishing = {
  retain: boolean;
  userProperties?: Record<string, string>;
  /** So long it is waited for, ms. */
  timeoutMs?: number;
};
/** What the broker publishes, retained, when this link ends without `close` (MQTT 5.0, 3.1.2.5). */
export type Will = { topic: string; payload: string };

/** One connection to a broker; all at QoS 1. */
export type Link = {
  /** @throws Error when the broker refuses */
  subscribe(filter: string): Promise<void>;
  unsubscribe(filter: string): Promise<void>;
  /** Resolves once the broker has taken it. */
  publish(topic: string, payload: string, how: Publishing): Promise<void>;
  close(): Promise<void>;
};

export type OpenLink = (access: BrokerAccess, events: LinkEvents, will?: Will) => Promise<Link>;

/** @throws Error in words that hold nothing secret, when there is no broker or it does not let us in */
export const openLink: OpenLink = async (access, events, will) => {
  const { url, version, username, password, ca } = access;
  const { default: mqtt } = await import('mqtt');
  const options: IClientOptions = {
    protocolVersion: version === '5' ? 5 : 4,
    ...(username !== undefined && { username }),
    ...(password !== undefined && { password }),
    ...(ca !== undefined && { ca }),
    ...(will && { will: { topic: will.topic, payload: Buffer.from(will.payload), qos: 1, retain: true } }),
    connectTimeout: CONNECT_TIMEOUT_MS,
    keepalive: KEEPALIVE_SECONDS,
    reconnectPeriod: 0,
    clean: true,
  };
  // Without the last, nothing comes of a connection that ends before the broker has answered.
  const client = await mqtt.connectAsync(url, options, false);
  let isOver = false;
  let why = 'the broker ended the connection';
  client.on('error', (error) => (why = error.message));
  let inSecond = 0;
  let isCounting = false;
  /** A flood is answered by letting go, since each message of it keeps all else waiting. */
  function isFlood(): boolean {
    if (!isCounting) {
      isCounting = true;
      setTimeout(() => {
        isCounting = false;
        inSecond = 0;
      }, 1000).unref();
    }
    inSecond += 1;
    return inSecond > MAX_PER_SECOND;
  }
  client.on('message', (topic, payload, { retain }) => {
    if (isOver) return;
    if (!isFlood()) return events.message({ topic, payload, retained: retain });
    letGo('it sends too much at once: listen to fewer topics');
  });
  function letGo(reason: string): void {
    if (isOver) return;
    isOver = true;
    client.stream.destroy();
    client.end(true);
    events.closed(reason);
  }
  client.on('close', () => {
    if (isOver) return;
    isOver = true;
    events.closed(why);
    client.end(true);
  });
  let unread = 0;
  client.stream.on('data', (chunk: Uint8Array) => {
    unread += chunk.length;
    if (unread <= MAX_IN_PACKET) return;
    letGo(`it sent a message of more than ${MAX_IN_PACKET / 1024} kB`);
  });
  client.on('packetreceive', () => (unread = 0));
  return {
    async subscribe(filter) {
      const [granted] = await withTimeout(client.subscribeAsync(filter, { qos: 1 }));
      if (granted === undefined || granted.qos > 2) throw new Error('the broker does not allow this topic');
    },
    unsubscribe: async (filter) => void (await withTimeout(client.unsubscribeAsync(filter))),
    async publish(topic, payload, { retain, userProperties, timeoutMs }) {
      const properties = { contentType: 'application/json', ...(userProperties && { userProperties }) };
      const options = { qos: 1, retain, ...(version === '5' && { properties }) } as const;
      await withTimeout(client.publishAsync(topic, payload, options), timeoutMs);
    },
    async close() {
      isOver = true;
      await withTimeout(client.endAsync(false), DISCONNECT_TIMEOUT_MS).catch(() => client.endAsync(true));
    },
  };
};

async function withTimeout<T>(work: Promise<T>, ms = CONNECT_TIMEOUT_MS): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new Error('it did not answer in time')), ms);
  });
  try {
    return await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}
