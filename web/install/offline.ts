import { recall } from '../lib/browser-memory.ts';
import { heldIn, HELD_TAPS, waitingWords } from '../stores/derive/unsent-taps.ts';

/** The page that stands in while the server is out of reach: asks for it again and again, and gives way when it answers. */
const RETRY_MS = 3000;
const ANSWER_TIMEOUT_MS = 2500;

async function look(): Promise<void> {
  try {
    const answer = await fetch('/api/access', {
      cache: 'no-store',
      signal: AbortSignal.timeout(ANSWER_TIMEOUT_MS),
    });
    if (answer.ok) location.reload();
  } catch {
    // Still out of reach: asked again soon.
  }
}

const waiting = document.getElementById('waiting');
if (waiting) waiting.textContent = waitingWords(heldIn(recall(HELD_TAPS), Date.now()));

document.getElementById('again')?.addEventListener('click', () => void look());
setInterval(() => void look(), RETRY_MS);
