import { signal } from '@preact/signals';

/** Whether the screen is kept on, and if not, why. */
type WakeState = { held: boolean; reason: string };
export const wakeState = signal<WakeState>({ held: false, reason: 'No cook is running.' });
