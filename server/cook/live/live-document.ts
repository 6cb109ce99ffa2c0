import { DEFAULT_TARGETS, type Band, type EngineView } from '../../../shared/engine.ts';
import { PROTOCOL, type LiveChannel, type Now } from '../../../shared/api/live.ts';
import { alertText } from '../../../shared/alert/text.ts';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import { ALERT_KINDS } from '../../../shared/alert/kinds.ts';
import { isAtGrill } from '../history/cook-entries.ts';
import { nextLaunchOf, runNow } from '../evening/run-order.ts';
import { isRunBaked } from '../../../shared/cook/run.ts';
import type { EveningNow } from '../evening/evening-service.ts';
import { openQuestions } from '../evening/noticed-launch.ts';
import { happenedAt } from '../../../shared/cook/happened-at.ts';
import type { RunningCook } from './running.ts';
import type { Unit } from '../../../shared/units.ts';
import type { Role } from '../../../shared/words.ts';

/** Everything that the first screen shows, drawn together from its owners at one instant. */
export type Instant = {
  /** Wall clock, ms since the epoch, a label. */
  wall: number;
  /** Seconds since the cook started; null with none. */
  t: number | null;
  rate: number;
  cook: RunningCook | null;
  sources: Now['sources'];
  lost: ReadonlySet<string>;
  rehearsal: Now['rehearsal'];
  unit: Unit | null;
  notKept: string | null;
  evening: EveningNow;
};

/** A channel that has not spoken for this long, or for three of its intervals, is stale, s. */
const STALE_AFTER_SECONDS = 5;
/** What a person read off a dial is old after so long, s: nobody stands beside it. */
const LOOK_LASTS_SECONDS = 900;
/** More than any evening at a grill has; the review has all. */
const EVENTS_SHOWN = 500;

const iso = (ms: number): string => new Date(ms).toISOString();

/** What a person calls a channel: its own name, else its id as a word. */
export const channelName = ({ id, name }: { id: string; name?: string | undefined }): string =>
  name ?? id.charAt(0).toUpperCase() + id.slice(1);

/** A member is a new object, unless nothing ever writes to it: the live line compares by that first. */
export function nowOf(instant: Instant): Now {
  const { cook, t, evening } = instant;
  const view = cook?.view() ?? null;
  return {
    protocol: PROTOCOL,
    at: iso(instant.wall),
    t,
    rate: instant.rate,
    cook: cook && {
      id: cook.id,
      name: cook.name,
      startedAt: iso(cook.startedAt),
      endedAt: null,
      rehearsal: cook.rehearsal,
      targets: mutable({ ...DEFAULT_TARGETS, ...cook.targets }),
    },
    channels:
      cook && view && t !== null
        ? cook.header.channels.map((c) => channelOf(c, cook, view, t, instant.lost.has(c.id)))
        : [],
    state: view?.state ?? 'blind',
    stateSince: view?.since ?? null,
    stateWhy: { ...view?.why },
    lidOpen: view?.lidOpen ?? false,
    lid: view?.lid ?? 'unknown',
    forecast: view?.forecast ?? null,
    nextLaunchAt: cook && t !== null ? nextLaunchOf(cook, t) : null,
    run: cook && !isBaked(instant) ? runNow(cook, instant.unit ?? 'C', evening.lidHazard === null) : null,
    advice:
      view?.advice && !isBaked(instant)
        ? adviceWith(view.advice, instant.unit ?? 'C', evening.lidHazard)
        : null,
    whatIf: isBaked(instant) ? null : (view?.whatIf ?? null),
    alerts: view && cook ? standingAlerts(view, cook, instant) : [],
    pizzas: cook?.pizzas ?? [],
    onStone: view?.onStone ?? [],
    events: cook ? eventsOf(cook.events) : [],
    questions: cook && t !== null ? openQuestions(cook, t) : [],
    plan: evening.plan,
    guides: evening.guides,
    prompt: evening.prompt,
    cautions: evening.cautions,
    lidHazard: evening.lidHazard,
    isOver: evening.isOver,
    sources: instant.sources,
    rehearsal: instant.rehearsal,
    unit: instant.unit,
    notKept: instant.notKept,
  };
}

type Standing = EngineView['alerts'][number];

/** Nothing calls for another pizza, or tends the fire for one. */
const isBaked = ({ cook, evening }: Instant): boolean =>
  evening.isOver || (cook !== null && isRunBaked(cook.pizzas));

const standingAlerts = ({ alerts }: EngineView, cook: RunningCook, instant: Instant): Standing[] =>
  alerts
    .filter((alert) => !isBaked(instant) || !ALERT_KINDS[alert.alert].isForBaking)
    .map((alert) => inWords(alert, cook, instant.unit ?? 'C'));

/** An alert in the chosen unit, with the name of its pizza: the engine knows neither. */
function inWords(alert: Standing, { pizzas }: RunningCook, unit: Unit): Standing {
  const name = pizzas.find((p) => p.id === alert.pizza)?.name || undefined;
  return { ...alert, message: alertText(alert.alert, alert.why, unit, name) ?? alert.message };
}

type Advised = NonNullable<Now['advice']>;

/** Air that is let into a fire which was short of it is where the lid gets dangerous. */
function adviceWith(advice: Advised, unit: Unit, hazard: Now['lidHazard']): Advised {
  const lets = advice.vents === 'half' || advice.vents === 'open';
  const why = [textInUnit(advice.why, unit), ...(hazard && lets ? [hazard.text] : [])].join(' ');
  return { ...advice, why };
}

const mutable = ({ stone, dome, domeLimit }: { stone: Band; dome?: Band; domeLimit?: number | null }) => ({
  stone: [...stone] as [number, number],
  ...(dome && { dome: [...dome] as [number, number] }),
  domeLimit: domeLimit ?? null,
});

/** The list by the cook's own, which is another one after each event. */
const listed = new WeakMap<RunningCook['events'], Now['events']>();

function eventsOf(all: RunningCook['events']): Now['events'] {
  const events = listed.get(all) ?? all.filter(isAtGrill).slice(-EVENTS_SHOWN).map(eventOf);
  listed.set(all, events);
  return events;
}

function eventOf({ id, t, event, undone }: RunningCook['events'][number]): Now['events'][number] {
  const pizza = 'pizza' in event ? event.pizza : undefined;
  return {
    id,
    t: happenedAt(t, event),
    event: event.event,
    undone,
    ...(event.note !== undefined && { note: event.note }),
    ...(pizza && { pizza }),
    ...(event.event === 'look' && { channel: event.channel, celsius: event.celsius }),
  };
}

function channelOf(
  { id, role, name }: RunningCook['header']['channels'][number],
  cook: RunningCook,
  view: EngineView,
  t: number,
  isLost: boolean,
): LiveChannel {
  const last = cook.last.get(id);
  const estimate = view.channels[id];
  // A look that is asked about first is not yet what the estimate goes by.
  const seenAt = (last?.source === 'spot' && estimate?.isEstimate && estimate.lookedAt) || last?.reading.t;
  const age = seenAt === undefined ? null : Math.round(Math.max(0, t - seenAt) * 1000) / 1000;
  const band = bandOf(role, cook);
  const least = last?.source === 'spot' ? LOOK_LASTS_SECONDS : STALE_AFTER_SECONDS;
  const staleAfter = Math.max(least, 3 * (last?.every ?? 0));
  const channel: LiveChannel = {
    id,
    role,
    name: channelName({ id, name }),
    celsius: last?.reading.celsius ?? null,
    quality: last?.reading.quality ?? 'bad',
    age,
    at: last ? iso(last.reading.at) : null,
    every: last?.every ?? null,
    staleAfter,
    stale: !(estimate?.isEstimate ?? false) && (isLost || age === null || age > staleAfter),
    estimate: estimate?.celsius ?? null,
    error: estimate?.error ?? null,
    perMinute: estimate?.perMinute ?? null,
    perMinuteError: estimate?.perMinuteError ?? null,
    isEstimate: estimate?.isEstimate ?? false,
    band: band && [...band],
    source: last?.source ?? null,
  };
  const reason = isLost ? 'its thermometer is out of reach' : last?.reading.reason;
  if (reason !== undefined) channel.reason = reason;
  return channel;
}

function bandOf(role: Role, { targets }: RunningCook): Band | null {
  if (role === 'stone') return targets.stone ?? DEFAULT_TARGETS.stone;
  return role === 'dome' ? (targets.dome ?? DEFAULT_TARGETS.dome ?? null) : null;
}
