/**
 * Something a person must be told, as one plain sentence: what was wrong and what to do. Commands print it and exit
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
 * `invalid`: what was sent is wrong. `conflict`: not now. `unkept`: it could not be written to disk. `stranger`: not let
 * in. `forbidden`: let in, but not for this. `too-many`: too often in too short a time.
 */
export type FaultCode =
  | 'invalid'
  | 'not-found'
  | 'conflict'
  | 'unkept'
  | 'too-large'
  | 'unusable'
  | 'stranger'
  | 'forbidden'
  | 'too-many';

/** The first trouble of a zod parse as "where: what", for people. */
export function firstIssue(issues: readonly { path: PropertyKey[]; message: string }[]): {
  at: string;
  text: string;
} {
  const issue = issues[0];
  if (!issue) return { at: '', text: 'something is wrong with it' };
  const at = issue.path
    .map((part, i) => (typeof part === 'number' ? `[${part}]` : (i ? '.' : '') + String(part)))
    .join('');
  return { at, text: at ? `${at}: ${issue.message}` : issue.message };
}
