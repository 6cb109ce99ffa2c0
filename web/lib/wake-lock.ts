import { wakeState } from './wake-state.ts';

let wanted = false;
let sentinel: WakeLockSentinel | null = null;

async function acquire(): Promise<void> {
  if (!wanted || sentinel || document.visibilityState !== 'visible') return;
  if (!('wakeLock' in navigator)) {
    const reason = globalThis.isSecureContext
      ? 'this browser cannot keep it on: set the device’s screen time-out to “never”.'
      : 'browsers keep it on only over HTTPS or on this computer itself: set the screen time-out to “never”.';
    wakeState.value = { held: false, reason };
    return;
  }
  try {
    sentinel = await navigator.wakeLock.request('screen');
    sentinel.addEventListener('release', released);
    wakeState.value = { held: true, reason: '' };
  } catch {
    wakeState.value = { held: false, reason: 'the device refused to keep it on (battery saver?).' };
  }
}

function released(): void {
  sentinel = null;
  if (wanted) wakeState.value = { held: false, reason: 'the device took it back.' };
}

/** Wants the screen on, or no longer. */
export function keepAwake(want: boolean): void {
  if (want === wanted) return;
  wanted = want;
  if (want) return void acquire();
  wakeState.value = { held: false, reason: 'no cook is running.' };
  void sentinel?.release();
}

/** The lock is lost each time the page is hidden; it is asked for again when it is back. */
export function startWakeLock(): void {
  document.addEventListener('visibilitychange', () => void acquire());
}
