import { BleSource } from './ble/ble.ts';
import { guarded } from './guarded.ts';
import { SerialSource } from './serial/serial.ts';
import type { Source } from './source.ts';

/**
 * Every live source. A new one is
 *   1. a folder here with a `Source` (source.ts), the outside library in one file of it;
 *   2. what a probe can ask of it in want.ts, and its address in shared/probe.ts;
 *   3. its line below, and its line in the contract test (test/source/contract.test.ts).
 */
export function createSources({ bleChild, serialPorts = [] }: SourcesOptions): Source[] {
  const sources: Source[] = [new BleSource({ child: bleChild }), new SerialSource({ extra: serialPorts })];
  return sources.map((source) => guarded(source));
}

export type SourcesOptions = {
  /** Path of the bundled server/source/ble/child.ts. */
  bleChild: string;
  /** Paths of serial ports that the kernel does not tell of. */
  serialPorts?: readonly string[];
};
