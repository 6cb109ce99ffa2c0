import { effect } from '@preact/signals';
import { render, type JSX } from 'preact';
import type { LiveMessage, Now } from '../shared/live.ts';
import { connect } from './connection.ts';
import { notify } from './lib/notify.ts';
import { route, startRouter } from './lib/router.ts';
import { play, soundState, startSound } from './lib/sound.ts';
import { startTheme } from './lib/theme.ts';
import { keepAwake, startWakeLock } from './lib/wake-lock.ts';
import { dropOldOffers } from './stores/acts.ts';
import { callOf, toSound } from './stores/alerts.ts';
import { addLive, startCurves } from './stores/curves.ts';
import { cookId, cookKey, cookTime, now, receive, setBeat, startListening } from './stores/live.ts';
import { orderOf } from './stores/orders.ts';
import { spoken, viewOf } from './stores/say.ts';
import { sheet } from './stores/screen.ts';
import { loadSettings, unit } from './stores/settings.ts';
import { LivePage } from './view/live/index.tsx';
import { NoteSheet } from './view/note/index.tsx';
import { Notice } from './view/notice/index.tsx';
import { PizzaSheet } from './view/pizza-run/pizza-sheet.tsx';
import { RecentSheet } from './view/recent/index.tsx';
import { Sheet } from './view/sheet/index.tsx';
import { Shell } from './view/shell/index.tsx';
import { later } from './view/shell/later.tsx';
import { ThisScreen } from './view/shell/status.tsx';
import { SpotSheet } from './view/spot/index.tsx';
import { Toasts } from './view/toast/index.tsx';

const BEAT_MS = 250;
/** RFC 6455 7.4.1, policy violation: this device was revoked. */
const LET_IN_NO_MORE = 1008;

const Past = later(async () => (await import('./view/past/index.tsx')).PastPage);
const Settings = later(async () => (await import('./view/settings/index.tsx')).SettingsPage);
const Probes = later(async () => (await import('./view/probes/index.tsx')).ProbesPage);
const Cook = later(async () => (await import('./view/cook/index.tsx')).CookPage);
const Plan = later(async () => (await import('./view/plan/index.tsx')).PlanPage);
const Stone = later(async () => (await import('./view/plan/stone.tsx')).StonePage);
const Overlay = later(async () => (await import('./view/overlay/index.tsx')).OverlayPage);
const Mapping = later(async () => (await import('./view/probes-mapping/index.tsx')).MappingPage);

function Page(): JSX.Element {
  const at = route.value;
  if (at.page === 'past') return <Past />;
  if (at.page === 'cook') return <Cook key={at.id} id={at.id} />;
  if (at.page === 'settings') return <Settings />;
  if (at.page === 'plan') return <Plan />;
  if (at.page === 'stone') return <Stone />;
  if (at.page === 'overlay') return <Overlay />;
  if (at.page === 'probes') return <Probes />;
  if (at.page === 'mapping') return <Mapping device={at.device} />;
  return <LivePage />;
}

function OpenSheet(): JSX.Element | null {
  const open = sheet.value;
  if (!open) return null;
  if (open.kind === 'spot') return <SpotSheet />;
  if (open.kind === 'note') return <NoteSheet />;
  if (open.kind === 'recent') return <RecentSheet />;
  if (open.kind === 'pizza') return <PizzaSheet key={open.id} id={open.id} />;
  return (
    <Sheet title="This screen">
      <ThisScreen />
    </Sheet>
  );
}

const App = (): JSX.Element => (
  <>
    <Shell>
      <Page />
    </Shell>
    <Toasts />
    <OpenSheet />
    <Notice />
  </>
);

function openSocket(path: string, say: (data: unknown) => void, ended: () => void): () => void {
  const socket = new WebSocket(`${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}${path}`);
  socket.addEventListener('message', (event) => say(event.data));
  socket.addEventListener('close', ({ code }) => {
    if (code === LET_IN_NO_MORE) location.replace('enter.html');
    ended();
  });
  return () => socket.close();
}

function take(message: LiveMessage): void {
  const before = cookKey.peek();
  receive(message, performance.now());
  // A snapshot means that readings were missed; another cook means that all are.
  if (message.type === 'snapshot' || cookKey.peek() !== before) void startCurves(cookId.peek());
  if (cookKey.peek() !== before) dropOldOffers(performance.now());
  const isOtherUnit = message.type === 'change' && (message.now.unit ?? unit.peek()) !== unit.peek();
  if (message.type === 'snapshot' || isOtherUnit) void loadSettings();
  if (message.type === 'change') addLive(message.readings);
}

/** In this screen's unit, which the server's own message is not. */
function wordsOf(alert: Now['alerts'][number]): string {
  const document = now.peek();
  if (!document) return alert.message;
  return spoken(orderOf(viewOf(document, unit.peek(), cookTime.peek() ?? 0), alert));
}

const sounded = new Map<string, number>();

/** Sounds what calls on the person, again and again while nobody answers. */
function soundAlerts(ms: number): void {
  const [first] = toSound(now.peek()?.alerts ?? [], sounded, ms);
  if (!first) return;
  if (!sounded.has(callOf(first))) notify('peelside', wordsOf(first), first.alert);
  play(first.urgency);
  sounded.set(callOf(first), ms);
}

function start(): void {
  startTheme();
  startRouter();
  startSound();
  startWakeLock();
  startListening(performance.now());
  const connection = connect({
    open: openSocket,
    receive: take,
    monotonic: () => performance.now(),
    later: (ms, then) => {
      const timer = setTimeout(then, ms);
      return () => clearTimeout(timer);
    },
    random: Math.random,
  });
  let wall = Date.now() - performance.now();
  setInterval(() => {
    const ms = performance.now();
    const offset = Date.now() - ms;
    setBeat(ms, offset - wall);
    wall = offset;
    connection.check();
    dropOldOffers(ms);
    soundAlerts(ms);
  }, BEAT_MS);
  // What called while the sound was locked calls again once it is not.
  effect(() => {
    if (soundState.value === 'on') sounded.clear();
  });
  effect(() => keepAwake(now.value?.cook != null));
  const place = document.getElementById('page');
  if (place) render(<App />, place);
}

start();
