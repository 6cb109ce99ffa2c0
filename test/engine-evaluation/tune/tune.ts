import { Fault } from '../../../shared/fault.ts';
import { CONSTANTS } from './constants.ts';

/**
 * Tries the values of each member of a constant in turn, the others as they are, on the half to tune on, and prints what each
 * costs: lower is better. The best of each is taken for the members after it; writing it down is up to the reader.
 */
export function tune(name: string, count: number): void {
  const tuned = CONSTANTS[name];
  if (!tuned) throw new Fault('invalid', `Nothing is called ${name}: ${Object.keys(CONSTANTS).join(', ')}.`);
  const { of } = tuned;
  const cost = tuned.cost(count);
  let best = cost();
  console.log(`${name}, ${count}, as it is, ${JSON.stringify(of)}: ${best.toFixed(4)}`);
  for (const [member, values] of Object.entries(tuned.values)) {
    const was = of[member] ?? 0;
    let chosen = was;
    for (const value of values) {
      if (value === was) continue;
      of[member] = value;
      const now = cost();
      console.log(`  ${member} ${value} instead of ${was}: ${now.toFixed(4)}`);
      if (now >= best) continue;
      best = now;
      chosen = value;
    }
    of[member] = chosen;
  }
  console.log(`best: ${JSON.stringify(of)} at ${best.toFixed(4)}`);
}
