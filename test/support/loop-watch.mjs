// Loaded into a server under test: measures how long its event loop stands still, and tells it when asked.
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { slowness, spentBy, stolenBy } from './pace.mjs';

const EVERY_MS = 5;
/** What the loop may take in one go at rest, ms: only beyond it is the machine's own pace asked for. */
const WORTH_JUDGING_MS = 50;

if (process.env.PEELSIDE_TEST_LOOP && process.send) {
  delete process.env.PEELSIDE_TEST_LOOP; // its own children are none of ours
  const seen = monitorEventLoopDelay({ resolution: EVERY_MS });
  let most = 0;
  /** The longest at the pace of the machine where the bound was set. */
  let scaled = 0;
  let at = performance.now();
  let spent = spentBy();
  let stolen = stolenBy();
  // Another program that has the processor is not our standing still: only time in which this one computed counts.
  setInterval(() => {
    const computed = Math.min(performance.now() - at - EVERY_MS, spentBy() - spent - (stolenBy() - stolen));
    most = Math.max(most, computed);
    // The machine's pace is asked for at once: a minute later it may be another.
    if (computed > Math.max(WORTH_JUDGING_MS, scaled)) scaled = Math.max(scaled, computed / slowness());
    at = performance.now();
    spent = spentBy();
    stolen = stolenBy();
  }, EVERY_MS).unref();
  process.on('message', (message) => {
    if (message === 'loop-begin') {
      most = 0;
      scaled = 0;
      seen.reset();
      seen.enable();
    }
    if (message === 'loop-tell')
      process.send({
        computedMs: most,
        scaledMs: Math.max(scaled, Math.min(most, WORTH_JUDGING_MS)),
        stoodMs: seen.max / 1e6,
      });
  });
  process.channel?.unref();
}
