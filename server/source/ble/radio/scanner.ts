import { messageOf } from '../../../../shared/fault.ts';
import type { Clock } from '../../timing.ts';
import type { Radio } from './radio.ts';

/** No advert of anything for so long, ms: the scan may have been stopped by somebody. */
const NO_ADVERT_MS = 15_000;
const MAX_FAILURES = 3;

export type Scanner = {
  /** Starts the scan, or does so again. */
  again(): void;
  /** An advertisement arrived, so the scan works. */
  noteAdvert(): void;
  /** Called periodically: restarts the scan when no advertisement arrives. */
  watch(): void;
};

/** Keeps the scan going. `stuck` is called when the radio no longer scans. */
export function createScanner(radio: Radio, clock: Clock, stuck: (why: string) => void): Scanner {
  let lastAdvertAt = clock.now();
  let failures = 0;
  const again = (): void => {
    radio.scan().then(
      () => (failures = 0),
      (error: unknown) => {
        failures += 1;
        if (failures >= MAX_FAILURES) stuck(messageOf(error));
      },
    );
  };
  return {
    again,
    noteAdvert: () => {
      lastAdvertAt = clock.now();
    },
    watch: () => {
      if (clock.now() - lastAdvertAt > NO_ADVERT_MS) again();
    },
  };
}
