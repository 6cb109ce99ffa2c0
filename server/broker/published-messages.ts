import type { z } from 'zod';
import type { Now } from '../../shared/api/live.ts';
import type {
  PublishedReading,
  publishedAlerts,
  publishedForecast,
  publishedState,
} from '../../shared/api/publish.ts';

/** What the live document says, as messages by their topics below the prefix. Pure. */

/** A channel's id may hold what a topic's name may not. */
const topicOf = (channel: string): string => `reading/${encodeURIComponent(channel)}`;

export type Seen = Pick<
  Now,
  'cook' | 'channels' | 'state' | 'stateSince' | 'lidOpen' | 'forecast' | 'alerts'
>;

/** With no cook, or in a rehearsal, only that there is none. */
export function messagesOf(now: Seen): Map<string, string> {
  const { cook } = now;
  const messages = new Map<string, unknown>();
  if (cook === null || cook.rehearsal) {
    messages.set('state', { state: 'blind', since: null, lidOpen: false, cook: null } satisfies State);
    messages.set('alerts', { alerts: [] } satisfies Alerts);
  } else {
    const start = Date.parse(cook.startedAt);
    for (const channel of now.channels) messages.set(topicOf(channel.id), readingOf(channel));
    messages.set('state', stateOf(now, cook, start));
    messages.set('alerts', alertsOf(now.alerts, start));
    if (now.forecast) messages.set('forecast', forecastOf(now.forecast, start));
  }
  return new Map([...messages].map(([topic, message]) => [topic, JSON.stringify(message)]));
}

type State = z.infer<typeof publishedState>;
type Forecast = z.infer<typeof publishedForecast>;
type Alerts = z.infer<typeof publishedAlerts>;

const instantOf = (start: number, t: number): string => new Date(start + t * 1000).toISOString();
const instantOr = (start: number, t: number | null): string | null =>
  t === null ? null : instantOf(start, t);

function readingOf(channel: Now['channels'][number]): PublishedReading {
  const { id, role, name, celsius, quality, reason, at } = channel;
  const named = { channel: id, role, name, at };
  if (isSilent(channel)) return { ...named, celsius: null, quality: 'bad', reason: reason ?? 'it is silent' };
  return { ...named, celsius, quality, ...(reason !== undefined && { reason }) };
}

/** Where the heat model goes on for a probe that fell silent, the page shows its estimate: a measurement it is not. */
const isSilent = ({ stale, isEstimate, source }: Now['channels'][number]): boolean =>
  stale || (isEstimate && source !== 'spot');

const stateOf = (
  { state, stateSince, lidOpen }: Seen,
  { id, name, startedAt }: NonNullable<Seen['cook']>,
  start: number,
): State => ({ state, since: instantOr(start, stateSince), lidOpen, cook: { id, name, startedAt } });

const alertsOf = (alerts: Seen['alerts'], start: number): Alerts => ({
  alerts: alerts.map(({ alert, state, urgency, message, raisedAt, pizza }) => ({
    alert,
    state,
    urgency,
    message,
    raisedAt: instantOf(start, raisedAt),
    ...(pizza !== undefined && { pizza }),
  })),
});

function forecastOf(forecast: NonNullable<Seen['forecast']>, start: number): Forecast {
  const { t, stone, stoneError, perMinute, dome, domePerMinute, readyAt, readyBetween, peak } = forecast;
  return {
    at: instantOf(start, t),
    stone,
    stoneError,
    perMinute,
    dome,
    domePerMinute,
    bandAt: instantOr(start, forecast.bandAt),
    readyAt: instantOr(start, readyAt),
    readyBetween: readyBetween && [instantOf(start, readyBetween[0]), instantOf(start, readyBetween[1])],
    peak: peak && { celsius: peak.celsius, at: instantOf(start, peak.at) },
    overAt: instantOr(start, forecast.overAt),
    fadesAt: instantOr(start, forecast.fadesAt),
  };
}
