import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void; // as the flag gives it

/** What this process holds once all that nobody needs is collected, bytes: objects of JavaScript, and buffers. */
export function heldBytes(): number {
  collect();
  collect();
  const { heapUsed, external } = process.memoryUsage();
  return heapUsed + external;
}
