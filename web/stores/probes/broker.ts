import { signal } from '@preact/signals';
import type { BrokerView, PatchBroker } from '../../../shared/api/broker.ts';
import { call } from '../../api.ts';
import { amend, attempt } from '../act/acts.ts';

/** The user's own MQTT broker; null while it is not known, or not for this screen to know. */
export const broker = signal<BrokerView | null>(null);

export async function loadBroker(): Promise<void> {
  broker.value = await attempt('broker', () => call<BrokerView>('GET', '/api/broker'));
}

/** @returns whether it was kept */
export async function changeBroker(patch: PatchBroker): Promise<boolean> {
  const saved = await amend('set broker', () => call<BrokerView>('PATCH', '/api/broker', patch));
  if (saved) broker.value = saved;
  return saved !== null;
}
