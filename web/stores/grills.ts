import { signal } from '@preact/signals';
import type { GrillAct, GrillList } from '../../shared/api/grill.ts';
import { call } from '../api.ts';
import { amend, attempt } from './act/acts.ts';

/** Grills by name and what their cooks taught; null while it is not known. */
export const grills = signal<GrillList | null>(null);

export async function loadGrills(): Promise<void> {
  grills.value = await attempt('grills', () => call<GrillList>('GET', '/api/grills'));
}

/** @returns whether it was done */
export async function actOnGrill(act: GrillAct): Promise<boolean> {
  // A second choice is another one, which stands; a second tap on the rest is the same again.
  const send = act.do === 'choose' ? amend : attempt;
  const next = await send(`grill ${act.do}`, () => call<GrillList>('POST', '/api/grills', act));
  if (next) grills.value = next;
  return next !== null;
}
