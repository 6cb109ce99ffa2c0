// Plain JavaScript, since it is loaded into servers under test too, before anything is compiled.
import { readFileSync } from 'node:fs';

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
export const spentBy = () => {
  try {
    return Number(readFileSync(`/proc/self/task/${process.pid}/schedstat`, 'utf8').split(' ')[0]) / 1e6;
  } catch {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1000;
  }
};

/** Of the kernel's counters of time, per second (proc(5), USER_HZ). */
const TICKS_PER_SECOND = 100;

/**
 * Time that the host of a virtual machine took from its processors, ms, all of them together: the thread that ran then
 * is charged with it, though it computed nothing (proc(5), the eighth figure of /proc/stat).
 */
export const stolenBy = () => {
  try {
    const [, ...ticks] = readFileSync('/proc/stat', 'utf8').split('\n', 1)[0].split(/ +/);
    return ((Number(ticks[7]) || 0) * 1000) / TICKS_PER_SECOND;
  } catch {
    return 0;
  }
};

/**
 * How many times longer this machine computes now than the one where the bounds were set, at least 1: bounds on computing
 * time are scaled by it, so that they hold for the code and not for the machine.
 */
export function slowness() {
  let slowest = 0;
  // The first batch may not be compiled yet; a busy machine slows down now and then, so the slowest of the others counts.
  for (let batch = 0; batch < 4; batch++) {
    const before = spentBy();
    for (let run = 0; run < RUNS; run++) JSON.parse(JSON.stringify(ROWS));
    if (batch > 0) slowest = Math.max(slowest, spentBy() - before);
  }
  return Math.max(1, slowest / REFERENCE_MS);
}
