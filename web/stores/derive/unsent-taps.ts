/** Taps that the server has not received yet. Pure. */

export type PlainEvent =
  'fire-lit' | 'vent' | 'fuel' | 'note' | 'lid-open' | 'lid-closed' | 'launch' | 'turn' | 'off';

/** `at`: when it was tapped, ms since the epoch. `id` makes it the same tap however often it is sent. */
export type Unsent = {
  id: string;
  at: number;
  label: string;
  event: PlainEvent;
  pizza?: string;
  note?: string;
};

/** Older than this a tap is of another evening, ms. */
const OLD_TAP_MS = 3600_000;

/** What is still worth sending, oldest first. */
export const stillWorth = (unsent: readonly Unsent[], now: number): Unsent[] =>
  unsent.filter(({ at }) => now - at < OLD_TAP_MS).sort((a, b) => a.at - b.at);

/** As the server takes it: how long ago it was, s. */
export const bodyOf = ({ id, at, event, pizza, note }: Unsent, now: number): object => ({
  id,
  event,
  ...(pizza !== undefined && { pizza }),
  ...(note !== undefined && { note }),
  ago: Math.max(0, Math.round((now - at) / 1000)),
});

/** Whether it waits already: a pizza is launched, turned and taken off once. */
export const isHeld = (
  unsent: readonly Unsent[],
  { event, pizza }: Pick<Unsent, 'event' | 'pizza'>,
): boolean => pizza !== undefined && unsent.some((tap) => tap.event === event && tap.pizza === pizza);
