import { computed, signal } from '@preact/signals';
import type { Settings } from '../../shared/api/api.ts';
import type { Unit } from '../../shared/units.ts';
import { call } from '../api.ts';
import { unitOfLocale } from '../lib/format.ts';
import { recall, remember } from '../lib/browser-memory.ts';
import { amend, attempt } from './act/acts.ts';

/** What the person has set; kept by the server, the unit remembered here too for the first paint. */
export const settings = signal<Settings | null>(null);

const remembered = recall('unit');
const fallback: Unit =
  remembered === 'C' || remembered === 'F' ? remembered : unitOfLocale(navigator.language);
export const unit = computed<Unit>(() => settings.value?.unit ?? fallback);

function took(next: Settings | null): void {
  if (!next) return;
  settings.value = next;
  if (next.unit) remember('unit', next.unit);
}

/**
 * Where nobody chose a unit yet the first screen does for all, by its own: what the server words, other screens and what
 * is sent far away say the same. A screen that may change nothing leaves it open.
 */
export async function loadSettings(): Promise<void> {
  took(await attempt('settings', () => call<Settings>('GET', '/api/settings')));
  if (settings.value?.unit !== null) return;
  took(await call<Settings>('PATCH', '/api/settings', { unitOfLocale: fallback }).catch(() => null));
}

/** @returns whether it was kept */
export async function changeSettings(patch: Partial<Settings>): Promise<boolean> {
  const next = await amend(`set ${Object.keys(patch).join()}`, () =>
    call<Settings>('PATCH', '/api/settings', patch),
  );
  took(next);
  return next !== null;
}
