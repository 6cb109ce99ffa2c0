import type { Broker, Escalated } from '../../shared/escalation.ts';

const PATIENCE_MS = 10_000;

/**
 * Publishes a notice at least once (QoS 1), by MQTT 3.1.1 or 5, on a connection of its own: alerts are rare, and a
 * connection that is always open is one more thing to watch.
 * @throws Error in words that hold nothing secret, when the broker did not take it
 */
export async function sendMqtt(broker: Broker, notice: Escalated): Promise<void> {
  const { url, topic, version, username, password } = broker;
  // Loaded when it is first wanted, since most have no broker.
  const { default: mqtt } = await import('mqtt');
  const isFive = version === '5';
  const client = await mqtt.connectAsync(url, {
    protocolVersion: isFive ? 5 : 4,
    ...(username !== undefined && { username }),
    ...(password !== undefined && { password }),
    connectTimeout: PATIENCE_MS,
    reconnectPeriod: 0,
    clean: true,
  });
  try {
    await withinPatience(
      client.publishAsync(topic, JSON.stringify(notice), {
        qos: 1,
        ...(isFive && {
          properties: { contentType: 'application/json', userProperties: { id: notice.id } },
        }),
      }),
    );
  } finally {
    await client.endAsync(true);
  }
}

async function withinPatience<T>(work: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new Error('it did not answer in time')), PATIENCE_MS);
  });
  try {
    return await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}
