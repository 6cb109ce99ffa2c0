import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fixture, scratch } from '../support/server.ts';

/** The part of the bundled evening that is played again and again, s: a pizza every quarter of an hour, vents between them. */
const REPEATED = { from: 3300, to: 6640 } as const;
/** How long the evening goes on for, s. */
const LASTS_SECONDS = 4.5 * 3600;

type Line = { t: number; event?: string; pizza?: string; [member: string]: unknown };

/** The bundled evening, whose baking goes on for four hours and a half: two probes at their own pace. @returns the file */
export function longEvening(): string {
  const [header = '', ...texts] = readFileSync(fixture('good-evening'), 'utf8').trim().split('\n');
  const lines = texts.map((text) => JSON.parse(text) as Line); // our own fixture's
  const first = lines.filter(({ t }) => t < REPEATED.from);
  const again = lines.filter(({ t }) => t >= REPEATED.from && t < REPEATED.to);
  const length = REPEATED.to - REPEATED.from;
  const rounds = Math.ceil((LASTS_SECONDS - REPEATED.from) / length);
  const rest = Array.from({ length: rounds }, (_, round) =>
    again.map((line) => ({
      ...line,
      t: line.t + round * length,
      ...(line.pizza && { pizza: `${line.pizza}-${round}` }),
    })),
  ).flat();
  const file = join(scratch(), 'good-evening.jsonl');
  writeFileSync(file, [header, ...[...first, ...rest].map((line) => JSON.stringify(line))].join('\n'));
  return file;
}
