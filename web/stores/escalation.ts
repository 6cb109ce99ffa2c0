import { signal } from '@preact/signals';
import type { EscalationView, PatchEscalation } from '../../shared/api/escalation.ts';
import { call } from '../api.ts';
import { amend, attempt } from './act/acts.ts';

/** The name of a trial that is on its way. */
export const TRYING = 'try escalation';

/** Where urgent alerts go that nobody on a page has seen; null while it is not known, or not for this screen to know. */
export const escalation = signal<EscalationView | null>(null);

export async function loadEscalation(): Promise<void> {
  escalation.value = await attempt('escalation', () => call<EscalationView>('GET', '/api/escalation'));
}

/** @returns whether it was kept */
export async function changeEscalation(patch: PatchEscalation): Promise<boolean> {
  const saved = await amend('set escalation', () => call<EscalationView>('PATCH', '/api/escalation', patch));
  if (saved) escalation.value = saved;
  return saved !== null;
}

/** Sends a trial notice to all that is set; what went wrong then stands in the view. */
export async function tryEscalation(): Promise<void> {
  const tried = await attempt(TRYING, () => call<EscalationView>('POST', '/api/escalation/test'));
  if (tried) escalation.value = tried;
}
