/** What is typed of a look. A number far from what is expected is asked about: a digit is soon mistyped with flour on it. Pure. */

/** Emissivity as typed; anything that is none counts as the usual 0.95 of simple instruments. */
export function setEmissivity(text: string): number {
  const value = Number(text.replace(',', '.'));
  return value > 0 && value <= 1 ? value : 0.95;
}

/** What the thermometer is expected to read, °C: `error` one standard error of it, `age` how old it is, s. */
export type Expected = { celsius: number; error: number; age: number };

/** Spots of a stone, and a surface beside its probe, differ by so much, °C. */
const SPREAD_CELSIUS = 50;
/** Beyond so many standard errors hardly any look is right. */
const STANDARD_ERRORS = 4;
/** No fire of charcoal moves stone or dome by more, °C/min. */
const FASTEST_PER_MINUTE = 30;
/** A grill seldom reads more, °C: what is asked where nothing is known. */
const HOTTEST_CELSIUS = 400;

/** @param read °C */
export function isDoubtful(read: number, expected: Expected | null): boolean {
  if (!expected) return read > HOTTEST_CELSIUS;
  const { celsius, error, age } = expected;
  const most = Math.max(SPREAD_CELSIUS, STANDARD_ERRORS * error) + (FASTEST_PER_MINUTE * age) / 60;
  return Math.abs(read - celsius) > most;
}
