import { randomUUID } from 'node:crypto';
import type { LiveMessage, LiveReading, Now } from '../../shared/api/live.ts';

/** One page's end of the line, whatever carries it. */
export interface Peer {
  send(text: string): void;
  /** Bytes that wait to be taken by the page. */
  buffered(): number;
  close(): void;
}

/**
 * The live document, worked out when it goes out. A member that is the same object as before is taken to be unchanged and
 * is not looked into, so that an object once given is never written to again.
 */
export interface LiveDocument {
  now(): Now;
}

export type Live = {
  /** The document changed: the pages get it within `COALESCE_MS`, together with what else changes till then. */
  publish(document: LiveDocument, readings?: readonly LiveReading[]): void;
  /** A page that comes before the first document gets that. @returns the function by which it leaves */
  join(peer: Peer, missed: { run: string; since: number } | null): () => void;
  heartbeat(): void;
  listeners(): number;
  close(): void;
};

const COALESCE_MS = 25;
/**
 * Bytes. A page with more waiting gets no more until it has taken it, then a snapshot; others do not wait for it. So much
 * is kept for pages that come back, since more would leave them behind at once.
 */
const MAX_BUFFERED_BYTES = 512 * 1024;

type Member = { peer: Peer; behind: boolean };

export type Soon = (work: () => void) => NodeJS.Timeout;
const coalesced: Soon = (work) => setTimeout(work, COALESCE_MS);

/**
 * Pushes the live document to pages: a snapshot, then only the top-level members that changed. Each message is made
 * once for all.
 */
export function createLive(soon: Soon = coalesced): Live {
  const run = randomUUID();
  const members = new Set<Member>();
  /** The last messages, and how many characters they are, each a byte or little more. */
  const ring: { seq: number; text: string }[] = [];
  let ringLength = 0;
  let seq = 0;
  /** Of each member what was sent last, itself and as JSON. */
  const sent = new Map<string, { value: unknown; json: string }>();
  let waiting: LiveReading[] = [];
  let timer: NodeJS.Timeout | null = null;
  let document: LiveDocument | null = null;

  const snapshot = (from: LiveDocument): string =>
    JSON.stringify({ type: 'snapshot', seq, run, now: from.now() } satisfies LiveMessage);

  function deliver(from: LiveDocument, text: string): void {
    for (const member of members) {
      if (member.peer.buffered() > MAX_BUFFERED_BYTES) member.behind = true;
      else if (!member.behind) member.peer.send(text);
      else {
        member.behind = false;
        member.peer.send(snapshot(from));
      }
    }
  }
  function send(from: LiveDocument): void {
    timer = null;
    const body: string[] = [];
    for (const [key, value] of Object.entries(from.now())) {
      const before = sent.get(key);
      if (before && before.value === value) continue;
      const json = JSON.stringify(value);
      sent.set(key, { value, json });
      if (before?.json !== json) body.push(`"${key}":${json}`);
    }
    seq++;
    const text = `{"type":"change","seq":${seq},"now":{${body.join(',')}},"readings":${JSON.stringify(waiting)}}`;
    waiting = [];
    remember(text);
    deliver(from, text);
  }
  function remember(text: string): void {
    ring.push({ seq, text });
    ringLength += text.length;
    while (ringLength > MAX_BUFFERED_BYTES) ringLength -= ring.shift()?.text.length ?? 0;
  }
  function catchUp(peer: Peer, from: LiveDocument, missed: { run: string; since: number } | null): void {
    const known = missed && missed.run === run && missed.since <= seq && missed.since >= seq - ring.length;
    if (!known) return peer.send(snapshot(from));
    for (const message of ring) if (message.seq > missed.since) peer.send(message.text);
  }
  return {
    publish(from, readings = []) {
      document = from;
      waiting.push(...readings);
      timer ??= soon(() => send(from));
    },
    join(peer, missed) {
      if (timer && document) {
        clearTimeout(timer);
        send(document);
      }
      const member = { peer, behind: document === null };
      members.add(member);
      if (document) catchUp(peer, document, missed);
      return () => members.delete(member);
    },
    heartbeat() {
      if (!document) return;
      const { at, t } = document.now();
      deliver(document, JSON.stringify({ type: 'heartbeat', seq, at, t } satisfies LiveMessage));
    },
    listeners: () => members.size,
    close() {
      if (timer) clearTimeout(timer);
      for (const { peer } of members) peer.close();
      members.clear();
    },
  };
}
