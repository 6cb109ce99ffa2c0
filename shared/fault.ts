/**
 * An error for a person, as one plain sentence: what was wrong and what to do. Commands print it and exit
 * non-zero; HTTP answers it as a problem document with the status that belongs to `code`.
 */
export class Fault extends Error {
  override name = 'Fault';
  readonly code: FaultCode;
  /** Names the entry that is wrong: "readings[2].celsius". */
  readonly at: string | undefined;
  constructor(code: FaultCode, sentence: string, at?: string) {
    super(sentence);
    this.code = code;
    this.at = at;
  }
}

/**
 * `invalid`: what was sent is wrong. `conflict`: not now. `unkept`: it could not be written to disk.
 * `unauthenticated`: not let in. `forbidden`: let in, but not for this. `unfit`: not the kind of content that
 * is taken here. `too-many`: too often in too short a time.
 */
export type FaultCode =
  | 'invalid'
  | 'not-found'
  | 'conflict'
  | 'unkept'
  | 'too-large'
  | 'unusable'
  | 'unfit'
  | 'unauthenticated'
  | 'forbidden'
  | 'too-many';

/** What went wrong, of whatever was thrown. */
export const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

const WRONG = 'something is wrong with it';
type Issue = { path: PropertyKey[]; message: string; code?: string; keys?: string[] };

/**
 * The first issue of a zod parse as "where: what", for people. A name that is not known comes first, since what is
 * missing beside it may be what it was to say; it is where it stands.
 */
export function firstIssue(issues: readonly Issue[]): { at: string; message: string; text: string } {
  const issue = issues.find(({ code }) => code === 'unrecognized_keys') ?? issues[0];
  if (!issue) return { at: '', message: WRONG, text: WRONG };
  const isUnknown = issue.code === 'unrecognized_keys';
  const at = [...issue.path, ...(isUnknown ? (issue.keys ?? []).slice(0, 1) : [])]
    .map((part, i) => (typeof part === 'number' ? `[${part}]` : (i ? '.' : '') + String(part)))
    .join('');
  const message = isUnknown ? 'this name is not known here: correct it, or leave it out' : issue.message;
  return { at, message, text: at ? `${at}: ${message}` : message };
}
