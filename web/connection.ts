import type { LiveMessage } from '../shared/api/live.ts';
import { HEARTBEAT_SECONDS } from '../shared/api/protocol.ts';

/** Silence after which the line counts as dead, ms. */
export const SILENT_MS = 2 * HEARTBEAT_SECONDS * 1000;
const FIRST_DELAY_MS = 300;
const LONGEST_DELAY_MS = 8000;

type ConnectionParts = {
  /** Opens a line and tells what it says and when it ends. @returns the way to hang up */
  open(path: string, receiveData: (data: unknown) => void, ended: () => void): () => void;
  receive(message: LiveMessage): void;
  /** Whether what came over the line is what it should be. */
  isMessage(message: unknown): message is LiveMessage;
  /** Something else came: the server is not the one that this page is of. */
  refuse(): void;
  /** ms on a clock that never jumps */
  monotonic(): number;
  /** @returns the way to call it off */
  schedule(ms: number, then: () => void): () => void;
  random(): number;
};

export type Connection = {
  /** To be called several times a second: hangs up on a line that is silent. */
  check(): void;
  stop(): void;
};

/** Time before the next try, ms: doubled each time, and spread so that many pages do not come back at once. */
export const backOff = (attempt: number, random: number): number =>
  Math.min(LONGEST_DELAY_MS, FIRST_DELAY_MS * 2 ** attempt) * (0.5 + random / 2);

/** Keeps the live line open, asks for what was missed, and hands on each message once and in order. */
export function connect({
  open,
  receive,
  isMessage,
  refuse,
  monotonic,
  schedule,
  random,
}: ConnectionParts): Connection {
  /** The open line; what an earlier line still sends is ignored. */
  let line: { hangUp(): void } | null = null;
  let run: string | null = null;
  let seq = -1;
  let attempt = 0;
  let receivedAt = monotonic();
  let cancel = (): void => {};

  function start(): void {
    receivedAt = monotonic();
    const path = run === null ? '/api/live' : `/api/live?since=${seq}&run=${encodeURIComponent(run)}`;
    const opened = { hangUp: (): void => {} };
    line = opened;
    opened.hangUp = open(
      path,
      (data) => line === opened && take(parse(data)),
      () => line === opened && again(),
    );
  }
  function hangUp(): void {
    const old = line;
    line = null;
    old?.hangUp();
  }
  function again(): void {
    hangUp();
    cancel = schedule(backOff(attempt++, random()), start);
  }
  function take(message: unknown): void {
    if (message === undefined) return;
    if (!isMessage(message)) return refuse();
    receivedAt = monotonic();
    if (message.type === 'snapshot') ({ run, seq } = message);
    else if (message.type === 'change' && message.seq <= seq) return;
    else if (message.seq !== (message.type === 'change' ? seq + 1 : seq)) return again();
    seq = message.seq;
    attempt = 0;
    receive(message);
  }
  start();
  return {
    check() {
      if (line && monotonic() - receivedAt > SILENT_MS) again();
    },
    stop() {
      cancel();
      hangUp();
    },
  };
}

/** Undefined where it is no JSON at all. */
function parse(data: unknown): unknown {
  if (typeof data !== 'string') return undefined;
  try {
    return JSON.parse(data);
  } catch {
    return undefined;
  }
}
