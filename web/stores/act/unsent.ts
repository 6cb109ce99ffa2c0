import { signal } from '@preact/signals';
import { call, Refused } from '../../api.ts';
import { recall, remember } from '../../lib/browser-memory.ts';
import {
  bodyOf,
  heldIn,
  HELD_TAPS,
  isHeld,
  stillWorth,
  type Unsent,
  type UnsentTap,
} from '../derive/unsent-taps.ts';
import { showTaps } from '../live.ts';

/** Taps made while the server is away: this browser holds them, through a reload too, until the server has them. */

export const unsent = signal<readonly Unsent[]>(heldIn(recall(HELD_TAPS), Date.now()));
showTaps(unsent.peek());

function put(next: readonly Unsent[]): void {
  unsent.value = next;
  showTaps(next);
  remember(HELD_TAPS, JSON.stringify(next));
}

/** Names a tap, so that sent twice it is the same. */
export const tapId = (): string => `tap-${crypto.randomUUID()}`;

export function holdTap(tap: UnsentTap, id = tapId()): void {
  if (isHeld(unsent.peek(), tap)) return;
  put([...unsent.peek(), { ...tap, id, at: Date.now() }]);
}

let isSending = false;

/**
 * Sends what waits, in its order, and tells what arrived; what the server refuses is dropped and shown. To be called when it is back.
 */
export async function sendUnsent(
  arrived: (label: string) => void,
  refused: (sentence: string) => void,
): Promise<void> {
  if (isSending) return;
  isSending = true;
  try {
    for (const tap of stillWorth(unsent.peek(), Date.now())) {
      try {
        const { path, body } = bodyOf(tap, Date.now());
        await call('POST', path, body);
        arrived(tap.label);
      } catch (error) {
        if (!(error instanceof Refused) || error.status === 0) return;
        refused(`${tap.label}: ${error.message}`);
      }
      put(unsent.peek().filter(({ id }) => id !== tap.id));
    }
  } finally {
    isSending = false;
  }
}
