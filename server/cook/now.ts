import { DEFAULT_TARGETS, type Band, type EngineView } from '../../shared/engine.ts';
import { PROTOCOL, type LiveChannel, type Now } from '../../shared/live.ts';
import { isByPerson } from './pizzas.ts';
import type { EveningNow } from './evening.ts';
import type { RunningCook } from './running.ts';
import type { Unit } from '../../shared/units.ts';
import type { Role } from '../../shared/words.ts';

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
const STALE_AFTER = 5;
/** Events that the screen lists; the review has all. */
const EVENTS_SHOWN = 40;

const iso = (ms: number): string => new Date(ms).toISOString();

/** What a person calls a channel: its own name, else its id as a word. */
export const channelName = ({ id, name }: { id: string; name?: string | undefined }): string =>
  name ?? id.charAt(0).toUpperCase() + id.slice(1);

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
    stateWhy: view?.why ?? {},
    lidOpen: view?.lidOpen ?? false,
    forecast: view?.forecast ? { ...view.forecast, readyBetween: view.forecast.readyBetween } : null,
    alerts: view?.alerts ?? [],
    pizzas: cook?.pizzas ?? [],
    onStone: view?.onStone ?? [],
    events: cook ? cook.events.filter(isByPerson).slice(-EVENTS_SHOWN).map(eventOf) : [],
    questions: cook?.questions ?? [],
    plan: evening.plan,
    guides: evening.guides,
    prompt: evening.prompt,
    cautions: evening.cautions,
    sources: instant.sources,
    rehearsal: instant.rehearsal,
    unit: instant.unit,
    notKept: instant.notKept,
  };
}

const mutable = ({ stone, dome, domeLimit }: { stone: Band; dome?: Band; domeLimit?: number | null }) => ({
  stone: [...stone] as [number, number],
  ...(dome && { dome: [...dome] as [number, number] }),
  domeLimit: domeLimit ?? null,
});

function eventOf({ id, t, event, undone }: RunningCook['events'][number]): Now['events'][number] {
  const pizza = 'pizza' in event ? event.pizza : undefined;
  return {
    id,
    t,
    event: event.event,
    undone,
    ...(event.note !== undefined && { note: event.note }),
    ...(pizza && { pizza }),
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
  const age = last ? Math.round(Math.max(0, t - last.reading.t) * 1000) / 1000 : null;
  const band = bandOf(role, cook);
  const channel: LiveChannel = {
    id,
    role,
    name: channelName({ id, name }),
    celsius: last?.reading.celsius ?? null,
    quality: last?.reading.quality ?? 'bad',
    age,
    at: last ? iso(last.reading.at) : null,
    every: last?.every ?? null,
    stale: isLost || age === null || age > Math.max(STALE_AFTER, 3 * (last?.every ?? 0)),
    estimate: estimate?.celsius ?? null,
    error: estimate?.error ?? null,
    perMinute: estimate?.perMinute ?? null,
    perMinuteError: estimate?.perMinuteError ?? null,
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
