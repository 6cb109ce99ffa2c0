import { signal } from '@preact/signals';
import type { CodeAnswer, Device, Right, WhoAsks } from '../../shared/api/access.ts';
import { call } from '../api.ts';
import { attempt } from './act/acts.ts';

/** Devices of the home network that were let in; null while they are not known, or the server is not open to any. */
export const devices = signal<readonly Device[] | null>(null);
/** What this screen may do; null while it is not known. */
export const who = signal<WhoAsks | null>(null);
/** The code that was asked for last on this screen. */
export const code = signal<CodeAnswer | null>(null);

export async function loadDevices(): Promise<void> {
  who.value = await attempt('who', () => call<WhoAsks>('GET', '/api/access'));
  if (!who.value?.lan || who.value.right !== 'act') return;
  const list = await attempt('devices', () => call<{ devices: Device[] }>('GET', '/api/access/devices'));
  devices.value = list?.devices ?? null;
}

export async function askCode(right: Right): Promise<void> {
  code.value = await attempt('code', () => call<CodeAnswer>('POST', '/api/access/codes', { right }));
}

export async function revoke(id: string): Promise<void> {
  await attempt(`revoke ${id}`, () => call('DELETE', `/api/access/devices/${encodeURIComponent(id)}`));
  await loadDevices();
}
