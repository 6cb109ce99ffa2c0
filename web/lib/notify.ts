import { signal } from '@preact/signals';

/** Browser notifications, for when the page is behind another. `reason` says why there are none. */
type NotifyState = { allowed: boolean; canAsk: boolean; reason: string };

function read(): NotifyState {
  if (!('Notification' in globalThis))
    return { allowed: false, canAsk: false, reason: 'This browser has no notifications.' };
  if (!globalThis.isSecureContext)
    return {
      allowed: false,
      canAsk: false,
      reason: 'Browsers allow notifications only over HTTPS or on this computer itself.',
    };
  if (Notification.permission === 'granted') return { allowed: true, canAsk: false, reason: '' };
  if (Notification.permission === 'denied')
    return {
      allowed: false,
      canAsk: false,
      reason: 'Refused earlier: allow them in the browser’s settings for this page.',
    };
  return { allowed: false, canAsk: true, reason: 'Not asked yet.' };
}

export const notifyState = signal<NotifyState>(read());

/** To be called from a tap. */
export async function askToNotify(): Promise<void> {
  if (notifyState.value.canAsk) await Notification.requestPermission();
  notifyState.value = read();
}

/** Shows a notification if the page is not in view. @param tag a newer one of the same tag takes its place */
export function notify(title: string, body: string, tag: string): void {
  if (!notifyState.value.allowed || document.visibilityState === 'visible') return;
  try {
    const shown = new Notification(title, { body, tag, requireInteraction: true });
    shown.addEventListener('click', () => {
      focus();
      shown.close();
    });
  } catch {
    // Android's browsers show notifications only from a service worker.
    notifyState.value = {
      allowed: false,
      canAsk: false,
      reason: 'This browser shows notifications only for installed pages.',
    };
  }
}
