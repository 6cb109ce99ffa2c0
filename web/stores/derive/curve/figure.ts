/** The first figure of a sentence, with what it counts: "25°", "3 of 5", "12 min". Empty where there is none. Pure. */
export const figureOf = (sentence: string): string =>
  /\d+(?:[.,]\d+)?(?:\s?(?:°[CF]?|min|s|h|kg|g|%)(?![a-z])| of \d+)?/.exec(sentence)?.[0] ?? '';
