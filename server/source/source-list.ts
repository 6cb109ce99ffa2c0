import { BleSource } from './ble/ble.ts';
import type { BrokerWatch } from '../broker/broker-service.ts';
import { guarded } from './guarded.ts';
import { MqttSource } from './mqtt/mqtt.ts';
import { SerialSource } from './serial/serial.ts';
import type { Source } from './source.ts';

/**
 * Every live source. A new one is
 *   1. a folder here with a `Source` (source.ts), the outside library in one file of it;
 *   2. what a probe can ask of it in subscription.ts, and its address in shared/probe.ts;
 *   3. its line below, and its line in the contract test (test/source/contract.test.ts).
 */
export function createSources({ bleChild, serialPorts = [], broker }: SourcesOptions): Source[] {
  const sources: Source[] = [
    new BleSource({ child: bleChild }),
    new SerialSource({ extra: serialPorts }),
    ...(broker ? [new MqttSource({ broker })] : []),
  ];
  return sources.map((source) => guarded(source));
}

type SourcesOptions = {
  /** Path of the bundled server/source/ble/process/child.ts. */
  bleChild: string;
  /** Paths of serial ports that the kernel does not tell of. */
  serialPorts?: readonly string[];
  /** The user's MQTT broker; without it no topics. */
  broker?: BrokerWatch;
};
