import { createRequire } from 'node:module';

/** What is used of apg-js, an ABNF parser generator (RFC 5234), which brings no types. */
type Api = {
  generate(): void;
  errors: unknown[];
  errorsToAscii(): string;
  toObject(): unknown;
};
type Library = {
  apgApi: new (grammar: string) => Api;
  apgLib: {
    parser: new () => {
      parse(grammar: unknown, start: string, text: number[]): { success: boolean; maxMatched: number };
    };
  };
};
const { apgApi: Generator, apgLib } = createRequire(import.meta.url)('apg-js') as Library;

/** RFC 5234, appendix B.1, as far as it is used. */
const CORE = `
ALPHA = %x41-5A / %x61-7A
DIGIT = %x30-39
DQUOTE = %x22
LF = %x0A
SP = %x20
`;

export type Grammar = {
  /** @returns null where the text is of the rule, else where it stops being so */
  wrong(rule: string, text: string): string | null;
};

/** @throws Error where it is no ABNF */
export function grammarOf(abnf: string): Grammar {
  const generator = new Generator(abnf + CORE);
  generator.generate();
  if (generator.errors.length > 0) throw new Error(generator.errorsToAscii());
  const grammar = generator.toObject();
  return {
    wrong(rule, text) {
      const points = Array.from(text, (letter) => letter.codePointAt(0) ?? 0);
      const { success, maxMatched } = new apgLib.parser().parse(grammar, rule, points);
      return success ? null : `after ${JSON.stringify(text.slice(Math.max(0, maxMatched - 80), maxMatched))}`;
    },
  };
}
