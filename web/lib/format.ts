import { differenceToFahrenheit, toFahrenheit, type Unit } from '../../shared/units.ts';

/** Values to text. Temperatures are converted here and nowhere else on the page; `null` is a dash. */

const DASH = '–';
export const MINUS = '−';

/** Where weather and ovens are in °F (Unicode CLDR, unit preferences for temperature; recalled). @param locale BCP 47 */
export const unitOfLocale = (locale: string): Unit => (/-(?:BS|BZ|KY|PR|PW|US)$/i.test(locale) ? 'F' : 'C');

/** A temperature in the person's unit, °C → number. */
export const inUnit = (celsius: number, unit: Unit): number =>
  unit === 'F' ? toFahrenheit(celsius) : celsius;

/** A difference or rate in the person's unit. */
export const differenceInUnit = (celsius: number, unit: Unit): number =>
  unit === 'F' ? differenceToFahrenheit(celsius) : celsius;

const signed = (text: string, negative: boolean): string => (negative ? MINUS + text : text);

function whole(value: number): string {
  const rounded = Math.round(value);
  return signed(String(Math.abs(rounded)), rounded < 0);
}

/** "263°" */
export const formatDegrees = (celsius: number | null, unit: Unit): string =>
  celsius === null ? DASH : `${whole(inUnit(celsius, unit))}°`;

/** "263 °C" */
export const formatTemperature = (celsius: number | null, unit: Unit): string =>
  celsius === null ? DASH : `${whole(inUnit(celsius, unit))} °${unit}`;

/** "25°", of a difference: never shifted by 32. */
export const formatDifference = (celsius: number | null, unit: Unit): string =>
  celsius === null ? DASH : `${whole(differenceInUnit(celsius, unit))}°`;

/** "+2.4°/min"; whole degrees from 10 on. */
export function formatRate(perMinute: number | null, unit: Unit): string {
  if (perMinute === null) return DASH;
  const rate = differenceInUnit(perMinute, unit);
  const size = Math.abs(rate);
  const text = size >= 9.95 ? String(Math.round(size)) : size.toFixed(1);
  const sign = Number(text) === 0 ? '' : rate < 0 ? MINUS : '+';
  return `${sign}${text}°/min`;
}

const two = (n: number): string => String(n).padStart(2, '0');

/** "1:05", a span not below 0 s. */
export function formatCountdown(seconds: number): string {
  const left = Math.ceil(seconds);
  return `${Math.floor(left / 60)}:${two(left % 60)}`;
}

/** What is due: "1:05" until then, then "now", and how late it becomes: "0:20 late". Seconds. */
export const dueCount = (left: number): string =>
  left > 0 ? formatCountdown(left) : left > -LATE_AFTER_SECONDS ? 'now' : `${formatCountdown(-left)} late`;
/** Until then it is due, not late, s. */
const LATE_AFTER_SECONDS = 5;

/** "45 s", "5 min", "1 h 10 min": roughly, for reading at a glance. */
export function formatSpan(seconds: number): string {
  const s = Math.max(0, seconds);
  if (s < 55) return `${Math.max(5, Math.round(s / 5) * 5)} s`;
  const minutes = Math.round(s / 60);
  if (minutes < 60) return `${minutes} min`;
  const rest = minutes % 60;
  return rest === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${rest} min`;
}

/** Age to the second below a minute, since that is what trust hangs on: "3 s", "2 min". */
export const formatAge = (seconds: number): string =>
  seconds < 60 ? `${Math.max(0, Math.floor(seconds))} s` : formatSpan(seconds);

/** "7:32", how long something took. */
export const formatTook = (seconds: number | null): string =>
  seconds === null ? DASH : formatCountdown(Math.round(seconds));

/** Made when it is first needed: to know the locale takes the browser longer than all else of a start. */
let clock: Intl.DateTimeFormat | undefined;
const clockOfHere = (): Intl.DateTimeFormat =>
  (clock ??= new Intl.DateTimeFormat([], { hour: 'numeric', minute: '2-digit' }));

/** Time of day as the person's locale writes it. @param ms since the epoch */
export const formatClock = (ms: number): string => clockOfHere().format(ms);

/** The same without AM or PM, where the evening is plain and room is scarce. */
const formatShortClock = (ms: number): string =>
  clockOfHere()
    .formatToParts(ms)
    .filter((part) => part.type !== 'dayPeriod')
    .map((part) => part.value)
    .join('')
    .trim();

export const formatDay = (ms: number): string =>
  new Date(ms).toLocaleDateString([], { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' });

/** "1:20 h" since the start, where the time of day would lie (a recording). */
export function formatElapsed(seconds: number): string {
  const minutes = Math.floor(Math.max(0, seconds) / 60);
  return `${Math.floor(minutes / 60)}:${two(minutes % 60)} h`;
}

/** "0:41:07" since the start, for reading a moment off. */
export function formatElapsedSeconds(seconds: number): string {
  const s = Math.round(Math.max(0, seconds));
  return `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`;
}

/** Time of day with seconds. @param ms since the epoch */
export const formatClockSeconds = (ms: number): string =>
  new Date(ms).toLocaleTimeString([], { hour: 'numeric', minute: '2-digit', second: '2-digit' });

/** Writes a time `t` of a cook: the time of day, or in a rehearsal the time since its start. */
export function timeWriter(cook: { startedAt: string; rehearsal: boolean }): (t: number) => string {
  const start = Date.parse(cook.startedAt);
  return cook.rehearsal ? formatElapsed : (t) => formatShortClock(start + t * 1000);
}

/** A name from the vocabulary as words: `stone-ready` → "stone ready". */
export const formatName = (name: string): string => name.replaceAll('-', ' ');

/** "1 pizza", "2 pizzas". */
export const formatCount = (n: number, noun: string): string => `${n} ${n === 1 ? noun : `${noun}s`}`;

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** An instant with the zone of this place, so that the server knows when it is night here. */
export function withZone(iso: string): string {
  const at = new Date(iso);
  const ahead = -at.getTimezoneOffset();
  const two = (n: number): string => String(Math.floor(n)).padStart(2, '0');
  const zone = `${ahead < 0 ? '-' : '+'}${two(Math.abs(ahead) / 60)}:${two(Math.abs(ahead) % 60)}`;
  return `${new Date(at.getTime() + ahead * 60_000).toISOString().slice(0, 19)}${zone}`;
}

/** Equal for all that differ by their figures alone. */
export const withoutFigures = (text: string): string => text.replace(/\d/g, '0');
