import type { CookMark } from '../../../shared/api/api.ts';
import type { LiveChannel, Now } from '../../../shared/api/live.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { PROTOCOL } from '../../../shared/api/protocol.ts';
import type { AlertName } from '../../../shared/alert/kinds.ts';

/** Live documents for tests of the page. */

export const channel = (
  role: 'stone' | 'dome',
  celsius: number | null,
  over: Partial<LiveChannel> = {},
): LiveChannel => ({
  id: role,
  role,
  name: role === 'stone' ? 'Stone' : 'Dome',
  celsius,
  quality: celsius === null ? 'bad' : 'good',
  age: 1,
  at: '2026-05-02T18:00:00.000Z',
  every: 2,
  staleAfter: 6,
  stale: false,
  estimate: celsius,
  error: 0.5,
  perMinute: 0,
  perMinuteError: 0.3,
  isEstimate: false,
  band: role === 'stone' ? [255, 285] : [235, 275],
  source: 'ble',
  ...over,
});

export const pizza = (id: string, over: Partial<Pizza> = {}): Pizza => ({
  id,
  name: '',
  eater: '',
  likes: '',
  turnAfter: 210,
  offAfter: 450,
  place: 0,
  launchedAt: null,
  turnedAt: null,
  offAt: null,
  base: null,
  top: null,
  notes: '',
  ...over,
});

type Alert = Now['alerts'][number];
export const alert = (name: AlertName, over: Partial<Alert> = {}): Alert => ({
  alert: name,
  state: 'unacknowledged',
  urgency: 'act',
  message: `about ${name}`,
  raisedAt: 3600,
  since: 3600,
  why: {},
  ...over,
});

type Forecast = NonNullable<Now['forecast']>;
export const forecast = (over: Partial<Forecast> = {}): Forecast => ({
  t: 3600,
  type: 'forecast',
  stone: 263,
  stoneError: 0.5,
  perMinute: 2,
  perMinuteError: 0.3,
  dome: 250,
  domePerMinute: 0,
  bandAt: null,
  readyAt: null,
  readyBetween: null,
  peak: null,
  overAt: null,
  fadesAt: null,
  curves: { stone: [], dome: [] },
  ...over,
});

/** A cook one hour in, stone ready at 263 °C, dome 250 °C. */
/** A recording that plays, of 115 min. */
export const recording = (
  over: Partial<NonNullable<Now['rehearsal']>> = {},
): NonNullable<Now['rehearsal']> => ({
  name: 'An evening',
  origin: 'synthetic',
  pace: 1,
  paused: false,
  t: 3600,
  length: 6900,
  ended: false,
  isDone: false,
  marks: [],
  ...over,
});

export const makeNow = (over: Partial<Now> = {}): Now => ({
  protocol: PROTOCOL,
  at: '2026-05-02T18:00:00.000Z',
  t: 3600,
  rate: 1,
  cook: {
    id: 7,
    name: 'Saturday',
    startedAt: '2026-05-02T17:00:00.000Z',
    endedAt: null,
    rehearsal: false,
    targets: { stone: [255, 285], dome: [235, 275], domeLimit: 370 },
  },
  channels: [channel('stone', 263), channel('dome', 250)],
  state: 'ready',
  stateSince: 3500,
  stateWhy: {},
  lidOpen: false,
  lid: 'unknown',
  forecast: forecast(),
  run: null,
  nextLaunchAt: over.forecast === undefined ? forecast().readyAt : (over.forecast?.readyAt ?? null),
  advice: null,
  whatIf: null,
  alerts: [],
  pizzas: [],
  onStone: [],
  events: [],
  questions: [],
  plan: null,
  guides: [],
  prompt: null,
  cautions: [],
  lidHazard: null,
  isOver: false,
  sources: [],
  rehearsal: null,
  unit: 'C',
  notKept: null,
  ...over,
});

/** What happened in a cook, as its page lists it. */
export const mark = (t: number, name: string): CookMark => ({
  id: `${name} ${t}`,
  t,
  kind: 'event',
  name,
  text: '',
  undone: false,
  why: {},
});
