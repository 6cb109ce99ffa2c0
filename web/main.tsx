import { liveShape } from 'page:shapes';
import { computed, effect } from '@preact/signals';
import { render, type JSX } from 'preact';
import type { LiveMessage, Now } from '../shared/api/live.ts';
import { connect } from './connection.ts';
import { fetchPart } from './view/shell/fetch-part.ts';
import { route, startRouter } from './lib/router.ts';
import { hasShape } from './shape/shape.ts';
import { play, soundState, startSound } from './lib/sound.ts';
import { startTheme } from './lib/theme.ts';
import { dropOldOffers, actionError, offerUndo, serverIsBack } from './stores/act/acts.ts';
import { callOf, toSound } from './stores/derive/calling-alerts.ts';
import { addEstimate, addLive, startCurves } from './stores/derive/curve/live-curves.ts';
import {
  cookId,
  cookKey,
  cookTime,
  endedWithServer,
  hasCook,
  hasLeapt,
  looksTakenBack,
  lost,
  now,
  outdated,
  receive,
  moveClock,
  startListening,
} from './stores/live.ts';
import { orderOf } from './stores/derive/alert-headlines.ts';
import { spoken, viewOf } from './stores/derive/headline-sentence.ts';
import { judging } from './stores/screen.ts';
import { loadSettings, unit } from './stores/settings.ts';
import { sendUnsent, unsent } from './stores/act/unsent.ts';
import { Boundary } from './view/boundary/index.tsx';
import { LivePage } from './view/live/index.tsx';
import { Shell } from './view/shell/index.tsx';
import { lazy } from './view/shell/lazy.tsx';
import { Toasts } from './view/toast/index.tsx';

const TICK_MS = 250;
/** RFC 6455 7.4.1, policy violation: this device was revoked. */
const CLOSE_POLICY_VIOLATION = 1008;

const Sheets = lazy(async () => (await import('./view/sheets/index.tsx')).Sheets, 'sheets.css', null);
/** What calls lies over the page, as the sheets do: it has come before the first reading calls. */
const Notice = lazy(async () => (await import('./view/notice/index.tsx')).Notice, 'sheets.css', null);
const Past = lazy(async () => (await import('./view/past/index.tsx')).PastPage, 'evening.css');
const Settings = lazy(async () => (await import('./view/settings/index.tsx')).SettingsPage, 'evening.css');
const Probes = lazy(async () => (await import('./view/probes/index.tsx')).ProbesPage, 'probes.css');
const Cook = lazy(async () => (await import('./view/cook/index.tsx')).CookPage, 'evening.css');
const Ended = lazy(async () => (await import('./view/ended/index.tsx')).EndedPage, 'evening.css');
const Plan = lazy(async () => (await import('./view/plan/index.tsx')).PlanPage, 'evening.css');
const Stone = lazy(async () => (await import('./view/plan/stone.tsx')).StonePage, 'evening.css');
const Overlay = lazy(async () => (await import('./view/overlay/index.tsx')).OverlayPage, 'evening.css');
const Mapping = lazy(async () => (await import('./view/probes-mapping/index.tsx')).MappingPage, 'probes.css');

function Page(): JSX.Element {
  const at = route.value;
  if (at.page === 'past') return <Past />;
  if (at.page === 'cook') return <Cook key={at.id} id={at.id} />;
  if (at.page === 'ended') return <Ended key={at.id} id={at.id} />;
  if (at.page === 'settings') return <Settings />;
  if (at.page === 'plan') return <Plan />;
  if (at.page === 'stone') return <Stone />;
  if (at.page === 'overlay') return <Overlay id={at.id} />;
  if (at.page === 'probes') return <Probes />;
  if (at.page === 'mapping') return <Mapping device={at.device} />;
  return <LivePage />;
}

const isUp = computed(() => now.value !== null);

const App = (): JSX.Element => (
  <>
    <Shell>
      <Boundary key={route.value.page}>
        <Page />
      </Boundary>
    </Shell>
    {!(route.value.page === 'live' && hasCook.value) && <Toasts />}
    {isUp.value && <Sheets />}
    <Boundary>
      <Notice />
    </Boundary>
  </>
);

function openSocket(path: string, receiveData: (data: unknown) => void, ended: () => void): () => void {
  const socket = new WebSocket(`${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}${path}`);
  socket.addEventListener('message', (event) => receiveData(event.data));
  socket.addEventListener('close', ({ code }) => {
    if (code === CLOSE_POLICY_VIOLATION) location.replace('enter.html');
    ended();
  });
  return () => socket.close();
}

function take(message: LiveMessage): void {
  const [before, due, struck] = [cookKey.peek(), cookTime.peek(), looksTakenBack()];
  const isCutOff = endedWithServer(now.peek(), message);
  if (message.type === 'snapshot' || lost.peek() !== null) serverIsBack();
  receive(message, performance.now());
  const document = now.peek();
  // A snapshot means that readings were missed, as a leap in time does; another cook means that all are. A look that was
  // taken back, here or elsewhere, is none any more.
  if (
    message.type === 'snapshot' ||
    cookKey.peek() !== before ||
    looksTakenBack() !== struck ||
    (document && hasLeapt(due, document))
  ) {
    const isEstimated = document?.channels.some((channel) => channel.isEstimate) === true;
    void startCurves(cookId.peek(), isEstimated);
  }
  if (cookKey.peek() !== before) {
    dropOldOffers(performance.now());
    judging.value = [];
  }
  if (isCutOff) actionError.value = 'The rehearsal ended with the server: begin it again.';
  const isOtherUnit = message.type === 'change' && (message.now.unit ?? unit.peek()) !== unit.peek();
  if (message.type === 'snapshot' || isOtherUnit) void loadSettings();
  if (unsent.peek().length > 0)
    void sendUnsent(
      (label) => offerUndo(`${label}: it arrived`, null, cookKey.peek()),
      (sentence) => (actionError.value = sentence),
    );
  if (message.type === 'change') addLive(message.readings);
  if (document) addEstimate(document);
}

/** In this screen's unit, which the server's own message is not. */
function wordsOf(alert: Now['alerts'][number]): string {
  const document = now.peek();
  if (!document) return alert.message;
  return spoken(orderOf(viewOf(document, unit.peek(), cookTime.peek() ?? 0), alert));
}

const sounded = new Map<string, number>();

/** A part that a server which is gone can't give: the call sounds all the same. */
const gone = (): void => {};

/** Sounds what calls on the person, again and again while nobody answers. */
function soundAlerts(ms: number): void {
  const [first] = toSound(now.peek()?.alerts ?? [], sounded, ms);
  if (!first) return;
  if (!sounded.has(callOf(first)))
    void import('./lib/notify.ts').then(
      ({ notify }) => notify('peelside', wordsOf(first), first.alert),
      gone,
    );
  play(first.urgency);
  void import('./lib/speech.ts').then(({ speak }) => speak(wordsOf(first)), gone);
  sounded.set(callOf(first), ms);
}

async function watchScreen(): Promise<void> {
  const part = await fetchPart(() => import('./lib/wake-lock.ts'), gone);
  part.startWakeLock();
  effect(() => part.keepAwake(now.value?.cook != null));
}

const isMessage = (message: unknown): message is LiveMessage => hasShape(message, liveShape);

/** The page is drawn without a document once it has waited for the first so long, ms. */
const FIRST_DOCUMENT_MS = 1000;

/**
 * The document that the browser fetched while it read this script, so that the first frame says what to do: the live line
 * takes two turns more. Where the line was faster, or none came, it is left at that.
 */
async function firstDocument(): Promise<void> {
  const answer = await fetch('api/now');
  const message: unknown = { type: 'snapshot', seq: 0, run: '', now: await answer.json() };
  if (now.peek() === null && isMessage(message)) receive(message, performance.now());
}

const passed = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

function start(): void {
  startTheme();
  startRouter();
  startSound();
  startListening(performance.now());
  const connection = connect({
    open: openSocket,
    receive: take,
    isMessage,
    refuse: () => (outdated.value = true),
    monotonic: () => performance.now(),
    schedule: (ms, then) => {
      const timer = setTimeout(then, ms);
      return () => clearTimeout(timer);
    },
    random: Math.random,
  });
  let wall = Date.now() - performance.now();
  setInterval(() => {
    const ms = performance.now();
    const offset = Date.now() - ms;
    moveClock(ms, offset - wall);
    wall = offset;
    connection.check();
    dropOldOffers(ms);
    soundAlerts(ms);
  }, TICK_MS);
  // What called while the sound was locked calls again once it is not.
  effect(() => {
    if (soundState.value === 'on') sounded.clear();
  });
  void watchScreen();
  const place = document.getElementById('page');
  const draw = (): void => {
    if (place) render(<App />, place);
  };
  void Promise.race([firstDocument(), passed(FIRST_DOCUMENT_MS)]).then(draw, draw);
}

start();
