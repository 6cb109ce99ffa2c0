import { beforeEach, describe, expect, it } from 'vitest';
import { openApi, type Api } from '../support/api.ts';

let api: Api;
beforeEach(async () => {
  api = await openApi();
});

async function ask(...asked: Parameters<Api['ask']>) {
  const { status, type, text } = await api.ask(...asked);
  return { status, type, body: JSON.parse(text || '{}') };
}
const post = (readings: unknown[]) => ask('POST', '/api/readings', { readings });
const stored = async (id = 1) => (await ask('GET', `/api/cooks/${id}/readings`)).body.readings;

describe('POST /api/readings', () => {
  it('starts a cook with channels stone and dome, and answers 202 when the readings are on disk', async () => {
    expect((await ask('GET', '/api/health')).body).toMatchObject({ status: 'ok', cook: null });
    const answer = await post([
      { channel: 'stone', celsius: 263.2, at: '2026-06-01T16:59:58.123Z' },
      { channel: 'dome', fahrenheit: 482 },
    ]);
    expect(answer).toMatchObject({ status: 202, body: { accepted: 2 } });
    expect(await stored()).toMatchObject([
      { channel: 'stone', at: '2026-06-01T16:59:58.123Z', celsius: 263.2, quality: 'good' },
      { channel: 'dome', at: '2026-06-01T17:00:00.000Z', celsius: 250, quality: 'good' },
    ]);
  });

  it.each([
    ['a wrong type', [{ channel: 'stone', celsius: 'hot' }], 400, 'readings[0].celsius'],
    [
      'the second of two',
      [
        { channel: 'stone', celsius: 20 },
        { channel: 'stone', celsius: null },
      ],
      400,
      'readings[1].celsius',
    ],
    ['an absurd temperature', [{ channel: 'stone', celsius: 99_999 }], 400, 'readings[0].celsius'],
    ['below absolute zero', [{ channel: 'stone', fahrenheit: -500 }], 400, 'readings[0].fahrenheit'],
    ['both units', [{ channel: 'stone', celsius: 20, fahrenheit: 68 }], 400, 'readings[0]'],
    ['no temperature', [{ channel: 'stone' }], 400, 'readings[0]'],
    ['no time', [{ channel: 'stone', celsius: 20, at: 'yesterday' }], 400, 'readings[0].at'],
    ['the future', [{ channel: 'stone', celsius: 20, at: '2026-06-01T18:00:00Z' }], 400, 'readings[0].at'],
    ['nothing at all', [], 400, 'readings'],
    [
      'an unknown channel',
      [
        { channel: 'stone', celsius: 20 },
        { channel: 'moon', celsius: 20 },
      ],
      404,
      'readings[1].channel',
    ],
  ])(
    'refuses %s with a problem document that names it, and stores none',
    async (_what, readings, status, at) => {
      await post([{ channel: 'stone', celsius: 19 }]);
      const answer = await post(readings);
      expect(answer.status).toBe(status);
      expect(answer.type).toContain('application/problem+json');
      expect(answer.body).toMatchObject({ status, at });
      expect(answer.body.detail).toMatch(/\w.*\.$/);
      expect(await stored()).toHaveLength(1);
    },
  );

  it('refuses what is not JSON, and NaN, which JSON does not have', async () => {
    const json = { 'content-type': 'application/json' };
    for (const text of ['{"readings":[', '{"readings":[{"channel":"stone","celsius":NaN}]}'])
      expect((await ask('POST', '/api/readings', text, json)).status, text).toBe(400);
    expect((await ask('GET', '/api/cooks')).body.cooks).toEqual([]);
  });

  it('keeps late readings with their own time and lets none of them move the live value back', async () => {
    await post([{ channel: 'stone', celsius: 200 }]);
    api.clock.at = 60_000;
    await post([{ channel: 'stone', celsius: 210 }]);
    await post([{ channel: 'stone', celsius: 205, at: '2026-06-01T17:00:30Z' }]);
    expect((await stored()).map((r: { celsius: number }) => r.celsius)).toEqual([200, 205, 210]);
    const now = (await ask('GET', '/api/now')).body;
    expect(now.channels[0]).toMatchObject({ id: 'stone', celsius: 210, age: 0, stale: false });
  });
});

it('staleness is said within 5 s of silence, with the age', async () => {
  for (let i = 0; i < 5; i++) {
    await post([{ channel: 'stone', celsius: 200 }]);
    api.clock.at += 1000;
  }
  expect((await ask('GET', '/api/now')).body.channels[0]).toMatchObject({ stale: false, age: 1 });
  api.clock.at += 4100;
  expect((await ask('GET', '/api/now')).body.channels[0]).toMatchObject({ stale: true, age: 5.1 });
  expect((await ask('GET', '/api/now')).body.channels[1]).toMatchObject({
    stale: true,
    age: null,
    celsius: null,
  });
});

describe('events and pizzas', () => {
  beforeEach(() => post([{ channel: 'stone', celsius: 265 }]));

  it('launches the next pizza of the run, counts from its own times, and takes it back', async () => {
    await ask('POST', '/api/pizzas', { name: 'Margherita', eater: 'Ada', turnAfter: 100, offAfter: 300 });
    api.clock.at = 10_000;
    const launch = (await ask('POST', '/api/events', { event: 'launch' })).body;
    let now = (await ask('GET', '/api/now')).body;
    expect(now.pizzas[0]).toMatchObject({ id: 'p1', name: 'Margherita', launchedAt: 10 });
    expect(now.onStone).toEqual([{ pizza: 'p1', launchedAt: 10, turnAt: 110, offAt: 310 }]);
    expect((await ask('DELETE', `/api/events/${launch.id}`)).status).toBe(200);
    now = (await ask('GET', '/api/now')).body;
    expect(now.pizzas[0].launchedAt).toBeNull();
    expect(now.onStone).toEqual([]);
    expect(now.events[0]).toMatchObject({ event: 'launch', undone: true });
    expect((await ask('DELETE', `/api/events/${launch.id}`)).status).toBe(409);
  });

  it('gives an unannounced launch a pizza of its own', async () => {
    await ask('POST', '/api/events', { event: 'launch' });
    await ask('POST', '/api/events', { event: 'off' });
    expect((await ask('GET', '/api/now')).body.pizzas).toMatchObject([
      { id: 'p1', name: 'Pizza 1', launchedAt: 0, offAt: 0 },
    ]);
  });

  it('given looks typed in, corrects the stone for its surface and takes the dial of the dome as it is', async () => {
    const look = (channel: string, celsius: number) => ask('POST', '/api/spot', { channel, celsius });
    const stone = await look('stone', 270);
    expect(stone.body.celsius).toBeGreaterThan(271);
    const dial = await look('dome', 262);
    expect([dial.body.celsius, dial.body.quality]).toEqual([262, 'good']);
    // Nobody stands beside a dial: what was read off it a while ago is not a probe that fell silent.
    const { channels } = (await ask('GET', '/api/now')).body as {
      channels: { id: string; staleAfter: number }[];
    };
    expect(channels.find(({ id }) => id === 'dome')?.staleAfter).toBeGreaterThanOrEqual(900);
  });

  it('given taps that were sent late, has turn, vents and off at the time of the tap, in pizza and events alike', async () => {
    await ask('POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 268 }] });
    api.clock.at += 300_000;
    await ask('POST', '/api/events', { event: 'launch', ago: 200 });
    await ask('POST', '/api/events', { event: 'turn', ago: 100 });
    await ask('POST', '/api/events', { event: 'vent', ago: 60, note: 'half open' });
    await ask('POST', '/api/events', { event: 'off', ago: 40 });
    const { events, pizzas } = (await ask('GET', '/api/now')).body as {
      events: { event: string; t: number }[];
      pizzas: { launchedAt: number; turnedAt: number; offAt: number }[];
    };
    const [pizza] = pizzas;
    const at = (name: string) => events.find(({ event }) => event === name)?.t ?? Number.NaN;
    expect(at('turn') - at('launch')).toBeCloseTo(100, 0);
    expect(at('off') - at('vent')).toBeCloseTo(20, 0);
    expect([pizza?.launchedAt, pizza?.turnedAt, pizza?.offAt]).toEqual([at('launch'), at('turn'), at('off')]);
  });

  it('refuses an event it does not know, naming what is wrong', async () => {
    expect((await ask('POST', '/api/events', { event: 'dance' })).status).toBe(400);
    // A band one level too deep would set nothing.
    const deep = await ask('POST', '/api/events', { event: 'targets', targets: { stone: [240, 260] } });
    expect([deep.status, deep.body.detail]).toEqual([400, expect.stringContaining('targets')]);
    expect((await ask('DELETE', '/api/events/e99')).status).toBe(404);
    const unknown = await ask('POST', '/api/pizzas/p77/launch');
    expect([unknown.status, unknown.body.detail]).toEqual([404, 'There is no pizza "p77" in this cook.']);
    expect((await ask('PATCH', '/api/pizzas/p99', { notes: 'x' })).status).toBe(404);
  });

  it('keeps settings and moves the band of the running cook', async () => {
    const targets = { stone: [240, 260], dome: [230, 260], domeLimit: 350 };
    expect((await ask('PATCH', '/api/settings', { targets, unit: 'F' })).body).toMatchObject({
      unit: 'F',
      targets,
    });
    expect((await ask('GET', '/api/now')).body.cook.targets.stone).toEqual([240, 260]);
    expect((await ask('PATCH', '/api/settings', { targets: { stone: [300, 200] } })).status).toBe(400);
  });

  it("given a screen's locale, takes its unit where nobody has chosen, and never over a choice", async () => {
    const unitAfter = async (patch: object): Promise<unknown> =>
      (await ask('PATCH', '/api/settings', patch)).body.unit;
    expect(await unitAfter({ unitOfLocale: 'F' })).toBe('F');
    expect(await unitAfter({ unitOfLocale: 'C' })).toBe('F');
    expect(await unitAfter({ unit: 'C' })).toBe('C');
    expect(await unitAfter({ unitOfLocale: 'F' })).toBe('C');
  });
});

describe('the plan', () => {
  const input = { serveAt: '2026-06-02T19:00:00Z', pizzas: 3 };

  it.each([
    [
      { input: { ...input, serveAt: '9999-06-02T19:00:00Z' } },
      'input.serveAt',
      /in a year from 2000 to 2099/,
    ],
    [{ input: { ...input, bulkhours: 4 } }, 'input.bulkhours', /this name is not known here/],
    [{ input: { ...input, stone: { gap: 4 } } }, 'input.stone.gap', /this name is not known here/],
    [{ input, guests: [{ name: 'Ada', eats: 'fish' }] }, 'guests[0].eats', /this name is not known here/],
    [{ input, pizzas: 4 }, 'pizzas', /this name is not known here/],
  ])('given %j, is refused by the name that is wrong, and none is made', async (draft, at, detail) => {
    const { status, body } = await ask('PUT', '/api/plan', draft);
    expect([status, body.at]).toEqual([400, at]);
    expect(body.detail).toMatch(detail);
    expect((await ask('GET', '/api/plan')).body.plan).toBeNull();
  });

  it('given no turn in the settings, has no step that is one; given minutes again, has', async () => {
    await ask('PUT', '/api/plan', { input });
    const turns = async (): Promise<number> =>
      (await ask('GET', '/api/plan')).body.plan.evening.steps.filter(
        ({ step }: { step: string }) => step === 'turn',
      ).length;
    expect(await turns()).toBe(3);
    expect((await ask('PATCH', '/api/settings', { turnAfter: null })).body.turnAfter).toBeNull();
    expect(await turns()).toBe(0);
    await ask('PATCH', '/api/settings', { turnAfter: 120 });
    expect(await turns()).toBe(3);
  });

  it('given a stone, says one soak on its page and in the plan', async () => {
    await ask('PATCH', '/api/settings', { stone: { material: 'fireclay', thicknessMm: 30 } });
    await ask('PUT', '/api/plan', { input });
    const { soakMinutes } = (await ask('GET', '/api/stone')).body;
    expect(soakMinutes).toBeGreaterThan(10);
    expect((await ask('GET', '/api/plan')).body.plan.evening.fire.soak).toBe(soakMinutes);
  });
});

it('past cooks are listed, opened, and deleted with undo', async () => {
  await post([{ channel: 'stone', celsius: 265 }]);
  await ask('POST', '/api/events', { event: 'launch' });
  await ask('PATCH', '/api/cooks/1', { ended: true, name: 'Sunday' });
  await ask('PATCH', '/api/cooks/1/pizzas/p1', { base: 'right', top: 'pale', notes: 'good' });
  expect((await ask('GET', '/api/cooks')).body.cooks).toMatchObject([
    { id: 1, name: 'Sunday', pizzas: 1, pale: 1, right: 0 },
  ]);
  expect((await ask('GET', '/api/cooks/1')).body.run[0].pizza).toMatchObject({
    base: 'right',
    top: 'pale',
    notes: 'good',
  });
  await ask('PATCH', '/api/cooks/1', { deleted: true });
  expect((await ask('GET', '/api/cooks')).body.cooks).toEqual([]);
  await ask('PATCH', '/api/cooks/1', { deleted: false });
  expect((await ask('GET', '/api/cooks')).body.cooks).toHaveLength(1);
  expect((await ask('GET', '/api/cooks/7')).status).toBe(404);
});

it('the server answers its own address only, and no page of another site', async () => {
  expect((await ask('GET', '/api/now', undefined, { host: 'pizza.example' })).status).toBe(403);
  expect(
    (await ask('POST', '/api/readings', { readings: [] }, { origin: 'http://elsewhere.example' })).status,
  ).toBe(403);
  expect((await ask('GET', '/api/health', undefined, { host: '192.0.2.7:8180' })).status).toBe(200);
});

it('each answer is what its schema says, path by path', async () => {
  await post([
    { channel: 'stone', celsius: 265 },
    { channel: 'dome', celsius: 250 },
  ]);
  await ask('POST', '/api/events', { event: 'launch' });
  await ask('POST', '/api/events', { event: 'vent', note: 'a third' });
  const asked: string[] = [];
  for (const route of api.routes) {
    if (route.method !== 'GET' || !route.answer) continue;
    const path = route.path.replace(':id', '1');
    const { body } = await ask('GET', path);
    expect([path, route.answer.safeParse(body).error?.issues ?? []]).toEqual([path, []]);
    asked.push(path);
  }
  expect(asked).toEqual(
    expect.arrayContaining(['/api/now', '/api/cooks', '/api/cooks/1', '/api/cooks/1/readings', '/api/reach']),
  );
});

it('GET /api/openapi.json describes every path that is served, in OpenAPI 3.1', async () => {
  const { body } = await ask('GET', '/api/openapi.json');
  expect(body.openapi).toBe('3.1.0');
  const paths = api.routes.map((route) => route.path.replaceAll(/:(\w+)/g, '{$1}'));
  expect(Object.keys(body.paths).sort()).toEqual([...new Set(paths)].sort());
  expect(JSON.stringify(body.paths['/api/readings'].post.requestBody)).toContain('fahrenheit');
});
