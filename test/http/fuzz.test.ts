import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { cookEvent } from '../../shared/event.ts';
import type { Route } from '../../server/http/route.ts';
import { arbitraryBy } from '../support/arbitrary.ts';
import { openApi, type Api, type ApiAnswer } from '../support/api.ts';
import { fixture } from '../support/server.ts';

/** Calls a test; by night many more, and as many seconds at most. */
const RUNS = Number(process.env['FUZZ_CALLS'] ?? 250);
const SECONDS = Number(process.env['FUZZ_SECONDS'] ?? 12);
const LATEST_MS = 250;
const limits = { numRuns: RUNS, endOnFailure: true };
/** Says when time is up, between two runs and never in the midst of one. */
function deadline(): () => boolean {
  const end = performance.now() + SECONDS * 1000;
  return () => performance.now() > end;
}
const timeout = (SECONDS + 60) * 1000;

let api: Api;
beforeEach(async () => {
  api = await openApi();
  await api.works();
});
afterEach(() => api.close());

/** What every answer must be, whatever was asked: none of our mistakes, and soon. */
async function holds(what: string, ask: () => Promise<ApiAnswer>): Promise<ApiAnswer> {
  const before = process.cpuUsage();
  const began = performance.now();
  const answer = await ask();
  const { user, system } = process.cpuUsage(before);
  // Another program that has the processor is not our lateness.
  const took = Math.min(performance.now() - began, (user + system) / 1000);
  if (answer.status >= 500) throw new Error(`${what} was answered ${answer.status}: ${answer.text}`);
  if (took > LATEST_MS) throw new Error(`${what} took ${Math.round(took)} ms`);
  return answer;
}

const pathOf = (route: Route, params: unknown, query: unknown): string => {
  const values = Object(params) as Record<string, unknown>;
  const path = route.path.replaceAll(/:(\w+)/g, (_, name: string) =>
    encodeURIComponent(textOf(values[name])),
  );
  const asked = Object.entries(Object(query) as object).map(
    ([name, value]) => `${encodeURIComponent(name)}=${encodeURIComponent(textOf(value))}`,
  );
  return asked.length > 0 ? `${path}?${asked.join('&')}` : path;
};
/** Without halves of characters, which no UTF-8 can say. */
const wellFormed = (text: string): string => Buffer.from(text).toString('utf8');
function textOf(value: unknown): string {
  const text = typeof value === 'string' ? value : (JSON.stringify(value) ?? 'none');
  return wellFormed(text).slice(0, 200);
}

describe('whatever is asked', () => {
  it(
    'of any path by its own schema, is answered soon and without a fault of ours, and all goes on',
    { timeout },
    async () => {
      const isLate = deadline();
      let calls = 0;
      const routes = api.routes.filter((route) => !route.takesText);
      const call = fc.constantFrom(...routes.keys()).chain((place) => {
        const { params, query, body } = routes[place] ?? {};
        return fc.record({
          place: fc.constant(place),
          params: params ? arbitraryBy(params) : fc.constant({}),
          query: query ? arbitraryBy(query) : fc.constant({}),
          body: body ? arbitraryBy(body) : fc.constant(undefined),
        });
      });
      await fc.assert(
        fc.asyncProperty(call, async ({ place, params, query, body }) => {
          if (isLate()) return;
          const route = routes[place];
          if (!route) return;
          calls++;
          const url = pathOf(route, params, query);
          await holds(`${route.method} ${url} ${JSON.stringify(body)?.slice(0, 400)}`, () =>
            api.ask(route.method, url, body === undefined ? undefined : Object(body)),
          );
          api.clock.at += 300;
          api.session.advance();
          if (calls % 10 === 0) await api.works();
        }),
        limits,
      );
      await api.works();
      console.log(`${calls} calls of ${api.routes.length} paths`);
    },
  );

  it(
    'any event is told or refused, and the cook goes out and in again with nothing lost',
    { timeout },
    async () => {
      const isLate = deadline();
      let count = 0;
      await fc.assert(
        fc.asyncProperty(arbitraryBy(cookEvent), async (event) => {
          if (isLate()) return;
          const { status } = await holds(`POST /api/events ${JSON.stringify(event)?.slice(0, 400)}`, () =>
            api.ask('POST', '/api/events', Object(event)),
          );
          if (status === 201) count++;
          api.clock.at += 1000;
          await api.works();
        }),
        limits,
      );
      for (const format of ['jsonl', 'csv']) {
        const out = await api.ask('GET', `/api/cooks/1/export?format=${format}`);
        const { status, body } = await api.ask('POST', '/api/import', out.text);
        expect([status, body['bad']]).toEqual([201, 0]);
        const lines = (id: unknown) => [...api.store.lines(Number(id))];
        expect([format, lines(body['id'])]).toEqual([format, lines(1)]);
      }
      expect(count).toBeGreaterThan(10);
      console.log(`${count} events received`);
    },
  );

  it('any file is brought in or refused, and the list of cooks opens', { timeout }, async () => {
    const whole = readFileSync(fixture('good-evening'), 'utf8').split('\n').slice(0, 120);
    const asTable = (await api.ask('GET', '/api/cooks/1/export?format=csv')).text;
    const damaged = fc
      .tuple(
        fc.constantFrom(whole.join('\n'), asTable),
        fc.nat(20_000),
        fc.constantFrom(
          '"',
          '\n',
          '1e400',
          '\u0000',
          '{',
          '"x\n',
          '__proto__',
          ',',
          '-',
          '9'.repeat(400),
          '\ufeff',
        ),
        fc.nat(400),
      )
      .map(
        ([text, at, put, cut]) =>
          text.slice(0, at % text.length) + put + text.slice((at % text.length) + cut),
      );
    const file = fc.oneof(
      damaged,
      fc.string({ unit: 'binary', maxLength: 2000 }),
      fc.array(fc.json(), { maxLength: 60 }).map((lines) => [whole[0], ...lines].join('\n')),
      fc
        .array(arbitraryBy(cookEvent), { maxLength: 30 })
        .map((events) =>
          [whole[0], ...events.map((event, i) => JSON.stringify({ ...Object(event), t: i }))].join('\n'),
        ),
    );
    const isLate = deadline();
    let accepted = 0;
    await fc.assert(
      fc.asyncProperty(file, async (text) => {
        if (isLate()) return;
        const { status } = await api.ask('POST', '/api/import', wellFormed(text));
        if (status >= 500) throw new Error(`an import was answered ${status}`);
        if (status === 201) accepted++;
        await holds('the list of cooks', () => api.ask('GET', '/api/cooks'));
        if (accepted % 20 === 19) for (const { id } of api.store.cooks().slice(5)) api.store.removeCook(id);
      }),
      { ...limits, numRuns: Math.ceil(RUNS / 4) },
    );
    await api.works();
    console.log(`${accepted} files taken`);
  });
});
