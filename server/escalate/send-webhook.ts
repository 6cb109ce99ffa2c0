import { createHmac } from 'node:crypto';
import type { Escalated, Webhook } from '../../shared/api/escalation.ts';

const ANSWER_TIMEOUT_MS = 10_000;

/** `sha256=` and the HMAC (RFC 2104) of the body's bytes under the secret, in hexadecimal. */
export const signatureOf = (body: string, secret: string): string =>
  `sha256=${createHmac('sha256', secret).update(body).digest('hex')}`;

/** Posts a notice. @throws Error in words that hold nothing secret, when it was not taken */
export async function sendWebhook({ url, secret }: Webhook, notice: Escalated): Promise<void> {
  const body = JSON.stringify(notice);
  const answer = await fetch(url, {
    method: 'POST',
    headers: {
      'content-type': 'application/json',
      'x-peelside-id': notice.id,
      'x-peelside-signature': signatureOf(body, secret),
    },
    body,
    // What is signed for one address is not handed on to another.
    redirect: 'error',
    signal: AbortSignal.timeout(ANSWER_TIMEOUT_MS),
  }).catch((error: unknown) => {
    throw new Error(`it can't be reached${reasonOf(error)}`);
  });
  await answer.body?.cancel();
  if (!answer.ok) throw new Error(`it answered ${answer.status}`);
}

/** `fetch` keeps the reason in the cause. */
function reasonOf(error: unknown): string {
  const cause = error instanceof Error ? error.cause : undefined;
  const code = typeof cause === 'object' && cause !== null && 'code' in cause ? String(cause.code) : '';
  return code ? ` (${code})` : '';
}
