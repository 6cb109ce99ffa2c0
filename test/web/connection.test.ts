import { describe, expect, it } from 'vitest';
import { liveMessage, type LiveMessage } from '../../shared/api/live.ts';
import { backOff, connect, SILENT_MS } from '../../web/connection.ts';
import { makeNow } from './support/now.ts';

/** A line, a clock and a timer that the test moves by hand. */
function page() {
  const state = { ms: 0, paths: [] as string[], received: [] as LiveMessage[], hungUp: 0, refused: 0 };
  let receive = (_message: unknown): void => {};
  let end = (): void => {};
  let timer: { at: number; run: () => void } | null = null;
  const connection = connect({
    open(path, onMessage, ended) {
      state.paths.push(path);
      receive = (message) => onMessage(JSON.stringify(message));
      end = ended;
      return () => state.hungUp++;
    },
    receive: (message) => state.received.push(message),
    isMessage: (message): message is LiveMessage => liveMessage.safeParse(message).success,
    refuse: () => state.refused++,
    monotonic: () => state.ms,
    schedule(ms, then) {
      timer = { at: state.ms + ms, run: then };
      return () => {
        timer = null;
      };
    },
    random: () => 1,
  });
  return {
    state,
    connection,
    receive: (message: unknown) => receive(message),
    drop: () => end(),
    pass(ms: number) {
      state.ms += ms;
      const due = timer;
      if (!due || due.at > state.ms) return;
      timer = null;
      due.run();
    },
  };
}

const snapshot = (seq: number, run = 'r1') => ({ type: 'snapshot', seq, run, now: makeNow() });
const change = (seq: number) => ({ type: 'change', seq, now: { t: seq }, readings: [] });
const heartbeat = (seq: number) => ({ type: 'heartbeat', seq, at: '2026-05-02T18:00:00.000Z', t: 1 });

describe('the live line', () => {
  it('asks for what it missed when it comes back', () => {
    const s = page();
    s.receive(snapshot(4));
    s.receive(change(5));
    s.drop();
    s.pass(1000);
    expect(s.state.paths).toEqual(['/api/live', '/api/live?since=5&run=r1']);
  });

  it('given what is no message of its server, refuses it and hands on nothing', () => {
    const s = page();
    s.receive({ ...snapshot(4), now: { ...makeNow(), protocol: 1 } });
    s.receive({ ...change(5), now: { t: 'soon' } });
    expect(s.state).toMatchObject({ received: [], refused: 2 });
  });

  it('hands on each message once, though it is sent twice', () => {
    const s = page();
    s.receive(snapshot(4));
    s.receive(change(5));
    s.receive(change(5));
    s.receive(heartbeat(5));
    expect(s.state.received.map((m) => m.type)).toEqual(['snapshot', 'change', 'heartbeat']);
  });

  it.each([
    ['a change', change(7)],
    ['a heartbeat', heartbeat(6)],
  ])('hangs up and asks again when %s shows that one was missed', (_what, message) => {
    const s = page();
    s.receive(snapshot(5));
    s.receive(message);
    expect(s.state.received).toHaveLength(1);
    expect(s.state.hungUp).toBe(1);
    s.pass(10_000);
    expect(s.state.paths.at(-1)).toBe('/api/live?since=5&run=r1');
  });

  it('hangs up on a line that is open and silent', () => {
    const s = page();
    s.receive(snapshot(1));
    s.pass(SILENT_MS);
    s.connection.check();
    expect(s.state.hungUp).toBe(0);
    s.pass(1);
    s.connection.check();
    expect(s.state.hungUp).toBe(1);
    s.pass(10_000);
    expect(s.state.paths).toHaveLength(2);
  });

  it('survives what is no message', () => {
    const s = page();
    s.receive(snapshot(1));
    s.receive('{');
    expect(s.state.received).toHaveLength(1);
  });

  it('stays closed once stopped', () => {
    const s = page();
    s.connection.stop();
    s.drop();
    s.pass(60_000);
    expect(s.state.paths).toHaveLength(1);
  });

  it('waits longer each time, to a limit, and never all pages alike', () => {
    expect([0, 1, 2, 9].map((n) => backOff(n, 1))).toEqual([300, 600, 1200, 8000]);
    expect(backOff(2, 0)).toBe(600);
  });
});
