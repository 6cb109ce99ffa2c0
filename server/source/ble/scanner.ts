import type { Clock } from '../clock.ts';
import type { Radio } from './radio.ts';

/** No advert of anything for so long, ms: the scan may have been stopped by somebody. */
const DEAF_AFTER = 15_000;
const FAILURES = 3;

export type Scanner = {
  /** Starts the scan, or does so again. */
  again(): void;
  /** Something was heard, so it works. */
  heard(): void;
  /** Called now and then: scans again where nothing is heard. */
  watch(): void;
};

/** Keeps the scan going. `stuck` is told when the radio will not scan any more. */
export function createScanner(radio: Radio, clock: Clock, stuck: (why: string) => void): Scanner {
  let heardAt = clock.now();
  let failures = 0;
  const again = (): void => {
    radio.scan().then(
      () => (failures = 0),
      (error: unknown) => {
        failures += 1;
        if (failures >= FAILURES) stuck(error instanceof Error ? error.message : String(error));
      },
    );
  };
  return {
    again,
    heard: () => {
      heardAt = clock.now();
    },
    watch: () => {
      if (clock.now() - heardAt > DEAF_AFTER) again();
    },
  };
}
