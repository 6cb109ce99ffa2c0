import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { beforeEach, describe, expect, it } from 'vitest';
import { cookEvent } from '../../shared/event.ts';
import type { Route } from '../../server/http/route.ts';
import { arbitraryBy } from '../support/arbitrary.ts';
import { openApi, type Api, type ApiAnswer } from '../support/api.ts';
import { slowness, spentBy } from '../support/pace.mjs';
import { fixture } from '../support/server.ts';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void; // as the flag gives it

/** What this process holds once all that nobody needs is collected, bytes: objects of JavaScript, and buffers. */
function heldBytes(): number {
  collect();
  collect();
  const { heapUsed, external } = process.memoryUsage();
  return heapUsed + external;
}

/** Calls a test; by night many more, and as many seconds at most. */
const RUNS = Number(process.env['FUZZ_CALLS'] ?? 250);
const SECONDS = Number(process.env['FUZZ_SECONDS'] ?? 12);
const LATEST_MS = 250;
/** Calls after which what runs is compiled and what is held in memory for good is there. */
const WARM_CALLS = Math.min(1500, Math.ceil(RUNS / 2));
/** What the calls after that may leave in memory, of what was held before them. */
const MAX_GROWTH = 0.2;
/** Runs tried between two looks at the time: what is left of a batch is made up and not run any more. */
const BATCH = 250;
/** Tries `run` on what `made` makes up, as often as is asked for or until time is up, never in the midst of a run. */
async function tryAll<T>(
  made: fc.Arbitrary<T>,
  run: (value: T) => Promise<void>,
  runs = RUNS,
): Promise<void> {
  const end = performance.now() + SECONDS * 1000;
  const property = fc.asyncProperty(made, async (value) => {
    if (performance.now() < end) await run(value);
  });
  for (let left = runs; left > 0 && performance.now() < end; left -= BATCH)
    await fc.assert(property, { numRuns: Math.min(BATCH, left), endOnFailure: true });
}
const timeout = (SECONDS + 60) * 1000;

let api: Api;
beforeEach(async () => {
  api = await openApi();
  await api.works();
});

/** What every answer must be, whatever was asked: none of our mistakes, and soon. */
async function holds(what: string, ask: () => Promise<ApiAnswer>): Promise<ApiAnswer> {
  const [began, spent] = [performance.now(), spentBy()];
  const answer = await ask();
  // Another program that has the processor is not our lateness.
  const took = Math.min(performance.now() - began, spentBy() - spent);
  if (answer.status >= 500) throw new Error(`${what} was answered ${answer.status}: ${answer.text}`);
  if (took > LATEST_MS && took / slowness() > LATEST_MS)
    throw new Error(`${what} took ${Math.round(took)} ms`);
  return answer;
}

/** Notes what is held once warm; `holds` at the end. */
function memory() {
  let before: number | null = null;
  return {
    called(calls: number): void {
      if (calls === WARM_CALLS) before = heldBytes();
    },
    holds(calls: number): void {
      if (before === null) throw new Error(`only ${calls} calls in ${SECONDS} s: not warm yet`);
      const after = heldBytes();
      console.log(`${calls} calls: ${mb(before)} MB held when warm, ${mb(after)} MB at the end`);
      expect(after / before).toBeLessThan(1 + MAX_GROWTH);
    },
  };
}
const mb = (bytes: number): string => (bytes / 1e6).toFixed(1);

let readBack = 0;
/** What was set reads back the same, where the same path gives it. */
async function readsBack(route: Route, url: string, answer: ApiAnswer): Promise<void> {
  if (route.method === 'GET' || answer.status >= 300) return;
  const getter = api.routes.find(({ method, path }) => method === 'GET' && path === route.path);
  if (getter?.answer !== route.answer) return;
  const { body } = await api.ask('GET', url);
  expect([route.method, url, body]).toEqual([route.method, url, answer.body]);
  readBack++;
}

/** Every cook goes out in either format and comes in again, line by line the same. */
async function goesOutAndIn(ids: readonly number[]): Promise<void> {
  for (const id of ids)
    for (const format of ['jsonl', 'csv']) {
      const out = await api.ask('GET', `/api/cooks/${id}/export?format=${format}`);
      const { status, body } = await api.ask('POST', '/api/import', out.text);
      expect([id, format, status, body['bad']]).toEqual([id, format, 201, 0]);
      expect([format, [...api.store.lines(Number(body['id']))]]).toEqual([format, [...api.store.lines(id)]]);
      api.store.removeCook(Number(body['id']));
    }
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
      let calls = 0;
      const held = memory();
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
      await tryAll(call, async ({ place, params, query, body }) => {
        const route = routes[place];
        if (!route) return;
        calls++;
        const url = pathOf(route, params, query);
        const answer = await holds(`${route.method} ${url} ${JSON.stringify(body)?.slice(0, 400)}`, () =>
          api.ask(route.method, url, body === undefined ? undefined : Object(body)),
        );
        await readsBack(route, url, answer);
        held.called(calls);
        api.clock.at += 300;
        api.session.advance();
        if (calls % 10 === 0) await api.works();
      });
      await api.works();
      held.holds(calls);
      expect(readBack).toBeGreaterThan(0);
      await goesOutAndIn(
        api.store
          .cooks()
          .map(({ id }) => id)
          .slice(0, 20),
      );
    },
  );

  it(
    'any event is told or refused, and the cook goes out and in again with nothing lost',
    { timeout },
    async () => {
      let count = 0;
      await tryAll(arbitraryBy(cookEvent), async (event) => {
        const { status } = await holds(`POST /api/events ${JSON.stringify(event)?.slice(0, 400)}`, () =>
          api.ask('POST', '/api/events', Object(event)),
        );
        if (status === 201) count++;
        api.clock.at += 1000;
        await api.works();
      });
      await goesOutAndIn([1]);
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
    let accepted = 0;
    await tryAll(
      file,
      async (text) => {
        const { status } = await api.ask('POST', '/api/import', wellFormed(text));
        if (status >= 500) throw new Error(`an import was answered ${status}`);
        if (status === 201) accepted++;
        await holds('the list of cooks', () => api.ask('GET', '/api/cooks'));
        if (accepted % 20 === 19) for (const { id } of api.store.cooks().slice(5)) api.store.removeCook(id);
      },
      Math.ceil(RUNS / 4),
    );
    await api.works();
    console.log(`${accepted} files taken`);
  });
});
