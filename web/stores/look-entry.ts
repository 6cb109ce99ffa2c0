import { computed, signal } from '@preact/signals';
import { infraredRead, surfaceCelsius, SURFACES } from '../../shared/evening/surface.ts';
import { textInUnit } from '../../shared/text/in-unit.ts';
import { fromFahrenheit } from '../../shared/units.ts';
import { formatTemperature, inUnit } from '../lib/format.ts';
import { recall, remember } from '../lib/browser-memory.ts';
import { offerUndo, tellSpot, undoEvent } from './act/acts.ts';
import { isDoubtful, setEmissivity, type Expected } from './derive/typed-look.ts';
import { celsiusOf } from './derive/headline-sentence.ts';
import { cookKey, now } from './live.ts';
import { unit } from './settings.ts';

/** A look by an infrared thermometer, as it is being entered. */

/** What the surface mirrors: the open sky and you, or the dome. */
export const LID = [
  ['open', 'Open'],
  ['closed', "A hand's breadth open, from the side"],
] as const;
export type Lid = (typeof LID)[number][0];

/** How this person looks, which seldom changes: this browser remembers it. */
export const surface = signal(recall('look.surface') ?? 'cordierite');
export const lid = signal<Lid>(recall('look.lid') === 'closed' ? 'closed' : 'open');
export const emissivity = signal(recall('look.emissivity') ?? '0.95');

export function rememberLook(): void {
  remember('look.surface', surface.value);
  remember('look.lid', lid.value);
  remember('look.emissivity', emissivity.value);
}

/** Air that an open surface mirrors, °C. */
const AIR_CELSIUS = 20;

export const channels = computed(() => {
  const known = now.value?.channels.map(({ id, name }) => [id, name] as const) ?? [];
  return known.length > 0
    ? known
    : ([
        ['stone', 'Stone'],
        ['dome', 'Dome'],
      ] as const);
});

/** What the surface mirrors, °C. */
const reflected = (): number =>
  lid.value === 'open'
    ? AIR_CELSIUS
    : (now.peek()?.channels.find(({ role }) => role === 'dome')?.celsius ?? AIR_CELSIUS);

/** Only the stone is looked at by infrared; what another thermometer shows is taken as it is. */
export const roleOf = (id: string): string =>
  now.peek()?.channels.find((channel) => channel.id === id)?.role ?? id;

/** What the thermometer will say, of the estimate or the last reading; null where nothing is known. */
function expected(id: string): Expected | null {
  const channel = now.peek()?.channels.find((channel) => channel.id === id);
  const celsius = channel ? celsiusOf(channel) : null;
  if (!channel || celsius === null) return null;
  const row = SURFACES.find((known) => known.id === surface.value);
  const emissivitySet = setEmissivity(emissivity.value);
  const read =
    row && roleOf(id) === 'stone'
      ? infraredRead(celsius, { emissivity: row.emissivity, emissivitySet, reflected: reflected() })
      : celsius;
  // An estimate goes on by itself, and knows its doubt; a reading grows old.
  const { isEstimate, error, age } = channel;
  return {
    celsius: read ?? celsius,
    error: (isEstimate && error) || 0,
    age: isEstimate ? 0 : (age ?? 0),
  };
}

/** Near what the thermometer will say, in the person's unit; null where nothing is known. */
export function nearValue(id: string): number | null {
  const near = expected(id);
  return near && Math.round(inUnit(near.celsius, unit.peek()));
}

/** What is asked about a look before it is sent; null where it may well be right. @param value in the person's unit */
export function doubtWords(id: string, value: number): string | null {
  const near = expected(id);
  if (!isDoubtful(unit.peek() === 'F' ? fromFahrenheit(value) : value, near)) return null;
  if (!near) return `${value}? Few grills get so hot: a typing error?`;
  const cause = roleOf(id) === 'stone' ? 'flour, oil or a typing error' : 'a typing error';
  return `${value}? It should read about ${formatTemperature(near.celsius, unit.peek())}: ${cause}?`;
}

/** What a look comes to at the surface, and why, before it is kept; empty where it is taken as it was read. @param value in the person's unit */
export function surfaceWords(id: string, value: number): string {
  const row = SURFACES.find((known) => known.id === surface.value);
  if (!row || roleOf(id) !== 'stone') return 'Taken as it is read.';
  const emissivitySet = setEmissivity(emissivity.value);
  const read = unit.value === 'F' ? fromFahrenheit(value) : value;
  const own = surfaceCelsius(read, { emissivity: row.emissivity, emissivitySet, reflected: reflected() });
  if (own === null || Math.round(inUnit(own, unit.value)) === value) return 'Taken as it is read.';
  const is = formatTemperature(own, unit.value);
  return `${is} of the surface: ${row.label.toLowerCase()} has emissivity ${row.emissivity}, the thermometer is set to ${emissivitySet}.`;
}

/** Sends it; the server corrects it for the surface. @param value in the person's unit. @returns whether it was accepted */
export async function enterLook(channel: string, value: number): Promise<boolean> {
  const cook = cookKey.peek();
  const name = channels.peek().find(([id]) => id === channel)?.[1] ?? channel;
  const answer = await tellSpot(
    {
      channel,
      ...(unit.peek() === 'F' ? { fahrenheit: value } : { celsius: value }),
      surface: surface.value,
      emissivitySet: setEmissivity(emissivity.value),
      reflected: reflected(),
    },
    `${name} ${value} °${unit.peek()}`,
  );
  if (answer === null || answer === 'waits') return answer !== null;
  const why = answer.reason ? `, ${textInUnit(answer.reason, unit.peek())}` : '';
  const recorded = formatTemperature(answer.celsius, unit.peek());
  const isCorrected = Math.round(inUnit(answer.celsius, unit.peek())) !== value;
  offerUndo(
    `Look recorded: ${isCorrected ? `${value} read, ` : ''}${recorded}${isCorrected ? ' of the surface' : ''}${why}`,
    undoEvent(answer.id),
    cook,
  );
  return true;
}

/** A look of which only whole degrees can be typed: out of this range nothing at a grill lies, °C. */
export const isPlausible = (value: number): boolean => {
  const celsius = unit.value === 'F' ? fromFahrenheit(value) : value;
  return celsius >= -30 && celsius <= 800;
};
