import type { IncomingMessage, ServerResponse } from 'node:http';
import { Readable } from 'node:stream';
import { Fault } from '../../shared/fault.ts';
import { breathing } from '../store/breath.ts';

/** Each holds a page of rows in memory: for all devices together so many at a time. */
const MAX_AT_A_TIME = 32;
/** Who takes nothing of it for so long gives its place back, ms. */
const STALLED_MS = 60_000;

let open = 0;

/**
 * An answer that is read from disk while it is sent.
 * @throws Fault `too-many`
 */
export function longAnswer(
  pieces: Iterable<string>,
  { socket }: IncomingMessage,
  response: ServerResponse,
): Readable {
  if (open >= MAX_AT_A_TIME)
    throw new Fault('too-many', 'Too much is read out at the same time: try again in a moment.');
  open++;
  const stream = Readable.from(breathing(pieces));
  // Of an answer that waits behind another on the same connection only the connection tells that it is gone.
  const gone = (): void => void stream.destroy();
  socket.once('close', gone);
  stream.once('close', () => {
    open--;
    socket.off('close', gone);
  });
  response.setTimeout(STALLED_MS, () => socket.destroy());
  return stream;
}
