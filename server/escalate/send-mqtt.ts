import type { Broker, Escalated } from '../../shared/api/escalation.ts';
import { openLink } from '../broker/mqtt-library.ts';

/**
 * Publishes a notice at least once (QoS 1), by MQTT 3.1.1 or 5, on a connection of its own: alerts are rare, and a
 * connection that is always open is one more thing to watch.
 * @throws Error in words that hold nothing secret, when the broker did not take it
 */
export async function sendMqtt(broker: Broker, notice: Escalated): Promise<void> {
  const link = await openLink(broker, { message: () => {}, closed: () => {} });
  try {
    await link.publish(broker.topic, JSON.stringify(notice), {
      retain: false,
      userProperties: { id: notice.id },
    });
  } finally {
    await link.close();
  }
}
