/** What can still be taken back, newest first, each for a while. Pure. */
export type Offer = {
  key: number;
  label: string;
  until: number;
  undo: (() => Promise<void>) | null;
  /** The cook it was done in; null: in none, or in one that had just begun. */
  cook: string | null;
};

/** How long an undo is offered where it was done, ms; the list of events offers it for longer. */
export const OFFER_MS = 12_000;
const MAX_OFFERS = 2;

export const offer = (offers: readonly Offer[], added: Omit<Offer, 'until'>, ms: number): Offer[] =>
  [{ ...added, until: ms + OFFER_MS }, ...offers].slice(0, MAX_OFFERS);

export const stillOffered = (offers: readonly Offer[], ms: number): Offer[] =>
  offers.filter((o) => o.until > ms);

export const without = (offers: readonly Offer[], key: number): Offer[] =>
  offers.filter((o) => o.key !== key);

/** What was done in another cook can't be taken back in this one: events of both have the same names. */
export const ofCook = (offers: readonly Offer[], cook: string | null): Offer[] =>
  offers.filter((o) => o.cook === null || o.cook === cook);
