import { messageOf } from '../../../../shared/fault.ts';
import { systemClock } from '../../timing.ts';
import { ConnectionManager } from '../connection-manager.ts';
import { HEARTBEAT_MS, toChild, type FromChild, type ToChild } from './process-messages.ts';
import { endLinks, openRadio } from '../radio/noble.ts';
import type { RadioState } from '../radio/radio.ts';

/**
 * The radio's own process, since the library ends the process that it runs in on a malformed packet. Started by
 * supervise.ts; the arguments are the numbers of the links that its predecessor left behind.
 */
const leftBehind = process.argv.slice(2).map(Number).filter(Number.isInteger);
/** Messages that the server has not taken yet; beyond these a frame is dropped rather than kept. */
const MAX_WAITING = 1000;

/** The adapter that is switched off may have been pulled out, and another put in. ms */
const WAIT_WHILE_OFF_MS = 20_000;

let waiting = 0;
function send(message: FromChild): void {
  if (!process.connected || (message.type === 'frame' && waiting > MAX_WAITING)) return;
  waiting += 1;
  process.send?.(message, () => (waiting -= 1));
}

function end(why: string): void {
  send({ type: 'ends', why: why.slice(0, 300) });
  // A moment for the words to get out; the library ends its links when the process exits.
  setTimeout(() => process.exit(1), 50);
}

process.on('uncaughtException', (error) => end(error.message));
process.on('unhandledRejection', (error) => {
  // The library writes to a link that ended in the meantime; it goes on with the next packet.
  if (error instanceof Error && error.stack?.includes('@abandonware/noble')) return;
  end(messageOf(error));
});
process.on('disconnect', () => process.exit(0));
setInterval(() => send({ type: 'heartbeat' }), HEARTBEAT_MS);

const radio = await openRadio();
let manager: ConnectionManager | null = null;
let before: RadioState = 'starting';
/** Messages that arrived before the radio was ready. */
const early: ToChild[] = [];
const MAX_EARLY = 100;

radio.onState((state) => {
  send({ type: 'state', state });
  const isFirst = before === 'starting';
  before = state;
  if (state === 'starting') return;
  if (isFirst && state === 'on') void begin();
  if (isFirst && state === 'off')
    setTimeout(() => end('perhaps another adapter is there by now'), WAIT_WHILE_OFF_MS);
  // One that is only switched off is waited for here. Otherwise a fresh process looks again; after a change, too,
  // since the library still believes in its old links.
  if (!isFirst || (state !== 'on' && state !== 'off'))
    end(state === 'on' ? 'the adapter is back' : `the adapter: ${state}`);
});

async function begin(): Promise<void> {
  await endLinks(leftBehind);
  manager = new ConnectionManager(radio, systemClock, {
    frame: (line) => send({ type: 'frame', line }),
    devices: (devices) => send({ type: 'devices', devices }),
    links: (handles) => send({ type: 'links', handles }),
    stuck: end,
  });
  for (const message of early.splice(0)) obey(manager, message);
}

function obey(it: ConnectionManager, message: ToChild): void {
  if (message.type === 'subscribe') it.subscribe(message.subscriptions);
  if (message.type === 'look') it.look(message.subscription, message.seconds);
}

process.on('message', (raw) => {
  const message = toChild.safeParse(raw).data;
  if (!message) return;
  if (message.type === 'stop') void stop();
  else if (manager) obey(manager, message);
  else if (early.length < MAX_EARLY) early.push(message);
});

async function stop(): Promise<void> {
  await manager?.stop();
  process.exit(0);
}

// Ctrl-C and a stop of the whole service reach this process, too: the server decides when it ends, so that links are
// ended. As the last of the listeners this one also keeps the library's own from ending the process.
setTimeout(() => {
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => {});
}, 0);
