import type { Taste } from './evening.ts';

/** A taste in a few words: "pale, soft". Within half a step of the middle it is empty. */
export function tasteWords({ base, crust, wetness }: Taste): string {
  const words = [
    base < -0.5 ? 'pale' : base > 0.5 ? 'well done' : '',
    crust < -0.5 ? 'soft' : crust > 0.5 ? 'crisp' : '',
    wetness < -0.5 ? 'dry' : wetness > 0.5 ? 'wet' : '',
  ].filter(Boolean);
  return words.join(', ') || 'middling';
}
