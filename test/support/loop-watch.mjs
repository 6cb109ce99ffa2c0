// Loaded into a server under test: measures how long its event loop stands still, and tells it when asked.
import { readFileSync } from 'node:fs';
import { monitorEventLoopDelay } from 'node:perf_hooks';

const EVERY_MS = 5;
/** What the loop may take in one go at rest, ms: only beyond it is the machine's own pace asked for. */
const WORTH_JUDGING_MS = 50;

/** CPU time, ms, of that many runs of the work below on the machine where the bounds were set, at rest and compiled. */
const REFERENCE_MS = 13;
const RUNS = 40;
const ROWS = Array.from({ length: 400 }, (_, i) => ({
  t: i,
  channel: 'stone',
  celsius: 200 + i / 7,
  quality: 'good',
}));

/**
 * CPU time of the thread that runs the event loop, ms. Collector, compiler and disk have threads of their own, which
 * `process.cpuUsage` would count in; only Linux says it by thread (proc_pid_schedstat, kernel's sched-stats).
 */
const spentBy = () => {
  try {
    return Number(readFileSync(`/proc/self/task/${process.pid}/schedstat`, 'utf8').split(' ')[0]) / 1e6;
  } catch {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1000;
  }
};

/**
 * How many times longer this machine computes now than the one where the bounds were set, at least 1: bounds on computing
 * time are scaled by it, so that they hold for the code and not for the machine.
 */
function slowness() {
  let slowest = 0;
  // The first batch may not be compiled yet; a busy machine slows down now and then, so the slowest of the others counts.
  for (let batch = 0; batch < 4; batch++) {
    const before = spentBy();
    for (let run = 0; run < RUNS; run++) JSON.parse(JSON.stringify(ROWS));
    if (batch > 0) slowest = Math.max(slowest, spentBy() - before);
  }
  return Math.max(1, slowest / REFERENCE_MS);
}

if (process.env.PEELSIDE_TEST_LOOP && process.send) {
  delete process.env.PEELSIDE_TEST_LOOP; // its own children are none of ours
  const seen = monitorEventLoopDelay({ resolution: EVERY_MS });
  let most = 0;
  /** The two longest at the pace of the machine where the bounds were set, the longest first. */
  let scaled = [0, 0];
  let at = performance.now();
  let spent = spentBy();
  // Another program that has the processor is not our standing still: only time in which this one computed counts.
  setInterval(() => {
    const computed = Math.min(performance.now() - at - EVERY_MS, spentBy() - spent);
    most = Math.max(most, computed);
    // The machine's pace is asked for at once: a minute later it may be another.
    if (computed > Math.max(WORTH_JUDGING_MS, scaled[1]))
      scaled = [...scaled, computed / slowness()].sort((a, b) => b - a).slice(0, 2);
    at = performance.now();
    spent = spentBy();
  }, EVERY_MS).unref();
  process.on('message', (message) => {
    if (message === 'loop-begin') {
      most = 0;
      scaled = [0, 0];
      seen.reset();
      seen.enable();
    }
    if (message === 'loop-tell')
      process.send({
        computedMs: most,
        scaledMs: Math.max(scaled[0], Math.min(most, WORTH_JUDGING_MS)),
        againMs: scaled[1],
        stoodMs: seen.max / 1e6,
      });
  });
  process.channel?.unref();
}
