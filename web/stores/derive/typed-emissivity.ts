/** Emissivity as typed; anything that is none counts as the usual 0.95 of simple instruments. */
export function setEmissivity(text: string): number {
  const value = Number(text.replace(',', '.'));
  return value > 0 && value <= 1 ? value : 0.95;
}
