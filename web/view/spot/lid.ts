/** What the surface mirrors: the open sky and you, or the dome. */
export const LID = [
  ['open', 'Open'],
  ['closed', 'Closed, through the top'],
] as const;
export type Lid = (typeof LID)[number][0];

/** Emissivity as typed; anything that is none counts as the usual 0.95 of simple instruments. */
export function setEmissivity(text: string): number {
  const value = Number(text.replace(',', '.'));
  return value > 0 && value <= 1 ? value : 0.95;
}
