import type { Now } from '../../../shared/api/live.ts';

/** Taps that the server has not received yet. Pure. */

export type PlainEvent =
  'fire-lit' | 'vent' | 'fuel' | 'note' | 'lid-open' | 'lid-closed' | 'launch' | 'turn' | 'off';

/** A look as the server takes it. */
export type Spot = {
  channel: string;
  celsius?: number;
  fahrenheit?: number;
  surface: string;
  emissivitySet: number;
  reflected: number;
};

/** `at`: when it was tapped, ms since the epoch. `id` makes it the same tap however often it is sent. */
export type Unsent = UnsentTap & { id: string; at: number };

/** A tap before it has a name and a time. */
export type UnsentTap = { label: string } & (
  { event: PlainEvent; pizza?: string; note?: string } | { spot: Spot }
);

/** Older than this a tap is of another evening, ms. */
const OLD_TAP_MS = 3600_000;

/** What is still worth sending, oldest first. */
export const stillWorth = (unsent: readonly Unsent[], now: number): Unsent[] =>
  unsent.filter(({ at }) => now - at < OLD_TAP_MS).sort((a, b) => a.at - b.at);

/** Under which name this browser holds them. */
export const HELD_TAPS = 'unsent';

/** What is worth sending of what this browser holds; nothing where that is damaged. @param text JSON, our own */
export function heldIn(text: string | null, now: number): Unsent[] {
  try {
    return stillWorth(JSON.parse(text ?? '[]') as Unsent[], now); // written by this page alone
  } catch {
    return [];
  }
}

/** Where the server takes it, and as what: how long ago it was, s. */
export function bodyOf(tap: Unsent, now: number): { path: string; body: object } {
  const { id, at } = tap;
  const ago = Math.max(0, Math.round((now - at) / 1000));
  if ('spot' in tap) return { path: '/api/spot', body: { ...tap.spot, id, ago } };
  const { event, pizza, note } = tap;
  const body = { id, event, ...(pizza !== undefined && { pizza }), ...(note !== undefined && { note }), ago };
  return { path: '/api/events', body };
}

/** Whether it waits already: a pizza is launched, turned and taken off once. */
export const isHeld = (unsent: readonly Unsent[], tap: UnsentTap): boolean =>
  'event' in tap &&
  tap.pizza !== undefined &&
  unsent.some((held) => 'event' in held && held.event === tap.event && held.pizza === tap.pizza);

/** The document with turns and offs that wait taken for done: whoever tapped is not called to it again. */
export const withTaps = (now: Now, unsent: readonly Unsent[]): Now => unsent.reduce(withTap, now);

function withTap(now: Now, tap: Unsent): Now {
  if (!('event' in tap) || tap.pizza === undefined || (tap.event !== 'turn' && tap.event !== 'off'))
    return now;
  const { event, pizza: id } = tap;
  const done = event === 'turn' ? 'turnedAt' : 'offAt';
  return {
    ...now,
    pizzas: now.pizzas.map((pizza) => (pizza.id === id ? { ...pizza, [done]: pizza[done] ?? now.t } : pizza)),
    onStone: event === 'off' ? now.onStone.filter(({ pizza }) => pizza !== id) : now.onStone,
    alerts: now.alerts.filter(({ alert, pizza }) => pizza !== id || alert !== `${event}-due`),
  };
}

/** "2 taps wait for the server: the mushroom launched, stone 251 °C"; empty where none does. */
export const waitingWords = (unsent: readonly { label: string }[]): string =>
  unsent.length === 0
    ? ''
    : `${unsent.length === 1 ? '1 tap waits' : `${unsent.length} taps wait`} for the server: ${unsent.map(({ label }) => label).join(', ')}.`;
