import { connect } from 'node:net';
import { Readable } from 'node:stream';
import { text } from 'node:stream/consumers';
import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';
import { unfinished } from '../../server/cook/portable/cook-import.ts';
import { csvRow } from '../../server/cook/portable/csv.ts';
import { bounded } from '../../server/http/upload-bound.ts';
import { openApi } from '../support/api.ts';

const through = (chunks: readonly string[], file: number, line: number): Promise<string> =>
  text(Readable.from(chunks.map((chunk) => Buffer.from(chunk))).compose(bounded(file, line)));

describe('what is imported', () => {
  it('passes unchanged up to the bounds, however it is cut, and is refused past them', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.stringMatching(/^[ab\n]{0,9}$/), { maxLength: 8 }), async (chunks) => {
        const whole = chunks.join('');
        const longest = Math.max(...whole.split('\n').map((line) => line.length));
        const good = whole.length <= 30 && longest <= 6;
        const came = await through(chunks, 30, 6).catch((error: unknown) =>
          error instanceof Error && 'code' in error ? error.code : error,
        );
        expect(came).toBe(good ? whole : 'too-large');
      }),
      { seed: 6, numRuns: 300 },
    );
  });
});

describe('a cell of an exported table', () => {
  // OWASP's "CSV Injection" (recalled): = + - @ tab and carriage return at the start make a formula.
  it.each(['=1+1', '+1', '@SUM(A1)', '-2+3', '\t=1', '\r=1', '=cmd|"/c calc"!A1'])(
    'is no formula: %j',
    (field) => {
      const cell = csvRow([field]).trimEnd().replace(/^"/, '');
      expect(cell.startsWith("'")).toBe(true);
    },
  );

  it('stays a number where it is one', () => {
    expect(csvRow([-12.5, '-12.5', 263.2])).toBe('-12.5,-12.5,263.2\r\n');
  });
});

it('given an upload that breaks off, nothing is left of it, and the terminal shows no fault', async () => {
  const error = vi.spyOn(console, 'error').mockImplementation(() => {});
  const api = await openApi();
  const address = await api.app.listen({ port: 0, host: '127.0.0.1' });
  const socket = connect(Number(new URL(address).port), '127.0.0.1');
  const lines =
    '{"recording":1,"startedAt":"2026-05-02T16:00:00Z","channels":[{"id":"stone","role":"stone"}]}\n' +
    '{"t":1,"channel":"stone","celsius":200}\n';
  socket.write(
    `POST /api/import HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-ndjson\r\nContent-Length: 100000\r\n\r\n${lines}`,
  );
  await expect.poll(() => unfinished(api.store).length).toBe(1);
  socket.destroy();
  await expect.poll(() => unfinished(api.store).length).toBe(0);
  await api.close();
  expect(error).not.toHaveBeenCalled();
  error.mockRestore();
});
