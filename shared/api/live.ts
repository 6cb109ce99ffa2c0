import { z } from 'zod';
import { PROTOCOL } from './protocol.ts';
import { lidHazard, liveCaution } from '../evening/evening.ts';
import { pizza } from '../evening/pizza.ts';
import { liveGuide, livePlan, livePrompt } from '../evening/plan.ts';
import { band, targets } from '../targets.ts';
import { ALERTS } from '../alert/kinds.ts';
import { ALERT_STATES, NOTICED, QUALITIES, ROLES, SOURCES, STONE_STATES, URGENCIES } from '../words.ts';
import { UNITS } from '../units.ts';

export { HEARTBEAT_SECONDS, PROTOCOL } from './protocol.ts';

const nullableNumber = z.number().nullable();
const why = z.record(z.string(), z.union([z.number(), z.string()]));

const forecastPoint = z.object({ t: z.number(), celsius: z.number(), low: z.number(), high: z.number() });
export const forecast = z.object({
  t: z.number(),
  type: z.literal('forecast'),
  stone: nullableNumber,
  stoneError: nullableNumber,
  perMinute: nullableNumber,
  perMinuteError: nullableNumber,
  dome: nullableNumber,
  domePerMinute: nullableNumber,
  bandAt: nullableNumber,
  readyAt: nullableNumber,
  readyBetween: z.tuple([z.number(), z.number()]).nullable(),
  peak: z.object({ celsius: z.number(), at: z.number() }).nullable(),
  overAt: nullableNumber,
  fadesAt: nullableNumber,
  curves: z.object({ stone: z.array(forecastPoint), dome: z.array(forecastPoint) }),
});

const outcome = z.object({
  /** Within 20 min. */
  highest: z.object({ celsius: z.number(), at: z.number() }),
  bandAt: nullableNumber,
  overAt: nullableNumber,
  ends: z.number(),
});
export const whatIf = z.object({
  asItIs: outcome,
  /** The vents shut now, and so many minutes later. */
  shut: outcome,
  shutLater: outcome.extend({ minutes: z.number() }),
  /** For so many more minutes shutting them keeps the stone in its band; null where it need not, or cannot. */
  until: nullableNumber,
  /** The dome held at so many °C. */
  held: z.array(outcome.extend({ dome: z.number() })),
});

/** A channel as the first screen shows it. */
const liveChannel = z.object({
  id: z.string(),
  role: z.enum(ROLES),
  name: z.string(),
  /** Last reading as it came, °C, and how good; `age` in seconds of the cook when the document was made. */
  celsius: nullableNumber,
  quality: z.enum(QUALITIES),
  reason: z.string().optional(),
  age: nullableNumber,
  at: z.iso.datetime().nullable(),
  /** Seconds between readings, as lately seen; beyond an age of `staleAfter`, s, the last one is stale. */
  every: nullableNumber,
  staleAfter: z.number(),
  stale: z.boolean(),
  /** Filtered value and rate, °C and °C/min, each with one standard error. */
  estimate: nullableNumber,
  error: nullableNumber,
  perMinute: nullableNumber,
  perMinuteError: nullableNumber,
  /** Nobody measures it: `estimate` and `error` are of the heat model, `celsius` and `age` of the last look. */
  isEstimate: z.boolean(),
  band: band.nullable(),
  source: z.enum(SOURCES).nullable(),
});
export type LiveChannel = z.infer<typeof liveChannel>;

const standingAlert = z.object({
  alert: z.enum(ALERTS),
  state: z.enum(ALERT_STATES).exclude(['normal']),
  urgency: z.enum(URGENCIES),
  message: z.string(),
  raisedAt: z.number(),
  since: z.number(),
  shelvedUntil: z.number().optional(),
  pizza: z.string().optional(),
  why,
});

const run = z.object({
  /** The waiting pizzas as they are to go on, each on the stone that is right for it: s, and the stone then, °C. */
  launches: z.array(z.object({ pizza: z.string(), at: z.number(), stone: z.number() })),
  lastOffAt: z.number(),
  /** A hotter dome, °C, under which the stone is back so many s sooner; null where none is, or the fire is not to be driven. */
  dome: z.object({ celsius: z.number(), sooner: z.number() }).nullable(),
  /** Another order by which all are out so many s sooner; null where none is worth it. */
  order: z.object({ pizzas: z.array(z.string()), sooner: z.number() }).nullable(),
  /** What of these is suggested, one sentence; null with nothing. */
  text: z.string().nullable(),
});

/** The opening of the vents, its share of the full one, and the dome to aim for, °C. */
export const advice = z.object({
  t: z.number(),
  type: z.literal('advice'),
  vents: z.enum(['shut', 'low', 'half', 'open']),
  share: z.number(),
  domeTo: z.number(),
  why: z.string(),
  /** Between two pizzas: when the stone is back, s, and the hotter dome, °C, under which it is so sooner. */
  back: z
    .object({
      at: z.number(),
      sooner: z.object({ dome: z.number(), at: z.number() }).nullable(),
    })
    .optional(),
});

/** An event of the cook as the page lists it; `undone` ones stay in the record. */
const liveEvent = z.object({
  id: z.string(),
  t: z.number(),
  event: z.string(),
  note: z.string().optional(),
  pizza: z.string().optional(),
  /** Of a look: what was looked at, and °C as it was taken in. */
  channel: z.string().optional(),
  celsius: z.number().optional(),
  undone: z.boolean(),
});
export type LiveEvent = z.infer<typeof liveEvent>;

/** Something read off the curves that nobody tapped; the page asks once. */
export const question = z.object({
  id: z.string(),
  noticed: z.enum(NOTICED),
  at: z.number(),
  confidence: z.number(),
});

export const liveSource = z.object({
  source: z.enum(SOURCES),
  state: z.enum(['off', 'starting', 'running', 'failed']),
  problem: z.string().optional(),
  remedy: z.string().optional(),
});

/** A recording that plays instead of a live cook. */
export const rehearsal = z.object({
  name: z.string(),
  origin: z.string(),
  pace: z.number(),
  paused: z.boolean(),
  /** Seconds played and in all. */
  t: z.number(),
  length: z.number(),
  ended: z.boolean(),
  /** The person does it: what the recording's people tapped is left out, and own taps count. */
  isDone: z.boolean(),
  /** Moments to jump to, s of the recording. */
  marks: z.array(z.object({ t: z.number(), label: z.string() })),
});

export const liveCook = z.object({
  id: z.number().int(),
  name: z.string(),
  startedAt: z.iso.datetime(),
  endedAt: z.iso.datetime().nullable(),
  rehearsal: z.boolean(),
  targets,
});

/** The whole first screen: `GET /api/now` and the snapshot of `WS /api/live`. */
export const now = z.object({
  protocol: z.literal(PROTOCOL),
  /** Server's wall clock, a label only. */
  at: z.iso.datetime(),
  /** Seconds since the cook started (recording time in a rehearsal); null with no cook. */
  t: nullableNumber,
  /** Seconds of cook per second of real time: 1 live, the pace in a rehearsal, 0 while it is paused. */
  rate: z.number(),
  cook: liveCook.nullable(),
  channels: z.array(liveChannel),
  state: z.enum(STONE_STATES),
  stateSince: nullableNumber,
  stateWhy: why,
  lidOpen: z.boolean(),
  /** `unknown` where nothing measures the dome now: then a lid that goes up is not seen. */
  lid: z.enum(['open', 'shut', 'unknown']),
  forecast: forecast.nullable(),
  /** When the next pizza can go on, s; in the past where that is now, null where unknown. */
  nextLaunchAt: nullableNumber,
  /** The pizzas that wait, as they are foreseen; null with none, or where nothing can be said. */
  run: run.nullable(),
  /** What to do with the fire; null where unknown. */
  advice: advice.nullable(),
  /** Where the stone goes by what is done with the fire now; null with a pizza on it, or where unknown. */
  whatIf: whatIf.nullable(),
  alerts: z.array(standingAlert),
  pizzas: z.array(pizza),
  onStone: z.array(
    z.object({
      pizza: z.string().nullable(),
      launchedAt: z.number(),
      turnAt: nullableNumber,
      offAt: z.number(),
    }),
  ),
  events: z.array(liveEvent),
  questions: z.array(question),
  /** The evening's plan as it stands; null with none. */
  plan: livePlan.nullable(),
  guides: z.array(liveGuide),
  prompt: livePrompt.nullable(),
  /** Those of this moment that were not acknowledged in this cook, the most dangerous now first. */
  cautions: z.array(liveCaution),
  /** Set while a lid that goes up could let the fire flare: acknowledged or not, it stands in each instruction. */
  lidHazard: lidHazard.nullable(),
  /** The last pizza is off and the fire is being ended: nothing calls for another. */
  isOver: z.boolean(),
  sources: z.array(liveSource),
  rehearsal: rehearsal.nullable(),
  /** In which the person reads temperatures: a change reaches all screens. */
  unit: z.enum(UNITS).nullable(),
  /** What is not being kept on disk and why; null when all is. */
  notKept: z.string().nullable(),
});
export type Now = z.infer<typeof now>;

/** [channel, t seconds, °C or null, quality] */
const liveReading = z.tuple([z.string(), z.number(), nullableNumber, z.enum(QUALITIES)]);
export type LiveReading = z.infer<typeof liveReading>;

/**
 * Server → page over `WS /api/live`. `seq` rises by one a message except in a heartbeat, which repeats the last.
 * A page that comes back opens `/api/live?since=SEQ&run=RUN` and gets what it missed, or a snapshot where that is gone.
 */
const seq = z.number().int();
export const liveSnapshot = z.object({ type: z.literal('snapshot'), seq, run: z.string(), now });
/** `now` holds the top-level members that changed, whole; `readings` the new ones, in the order they came. */
export const liveChange = z.object({
  type: z.literal('change'),
  seq,
  now: now.partial(),
  readings: z.array(liveReading),
});
export const liveHeartbeat = z.object({
  type: z.literal('heartbeat'),
  seq,
  at: z.iso.datetime(),
  t: nullableNumber,
});
export const liveMessage = z.discriminatedUnion('type', [liveSnapshot, liveChange, liveHeartbeat]);
export type LiveMessage = z.infer<typeof liveMessage>;
