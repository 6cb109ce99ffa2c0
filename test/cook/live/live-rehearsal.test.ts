import { describe, expect, it } from 'vitest';
import { openSession } from '../../support/session.ts';

const FIRST_LAUNCH = 2454.1;

describe('a rehearsal that is done by the person', () => {
  it('given the shipped recording, begins shortly before the first launch with what led there', async () => {
    const { session } = openSession();
    await session.rehearse('good-evening', 1, { skip: true, isDone: true });
    const { t, events, pizzas } = session.now();
    expect(t).toBeGreaterThan(FIRST_LAUNCH - 900);
    expect(t).toBeLessThan(FIRST_LAUNCH - 60);
    expect(events.map(({ event }) => event)).toEqual(expect.arrayContaining(['fire-lit', 'vent']));
    expect(pizzas.every(({ launchedAt }) => launchedAt === null)).toBe(true);
  });

  it("given time past that launch, nothing was launched but by the person's own taps", async () => {
    const { session } = openSession();
    await session.rehearse('good-evening', 1, { skip: true, isDone: true });
    await session.seek(3000);
    expect(session.now().pizzas.every(({ launchedAt }) => launchedAt === null)).toBe(true);
    session.record({ event: 'launch', pizza: 'p2', turnAfter: 210, offAfter: 430 });
    expect(session.now().onStone.map(({ pizza }) => pizza)).toEqual(['p2']);
  });

  it('given a jump ahead, keeps what was tapped and goes on with it; given one back, forgets it', async () => {
    const { session } = openSession();
    await session.rehearse('good-evening', 1, { skip: true, isDone: true });
    await session.seek(2500);
    session.record({ event: 'launch', pizza: 'p2', turnAfter: 210, offAfter: 430 });
    const { cook } = session.now();
    await session.seek(2560);
    const { onStone, t } = session.now();
    expect([t, onStone.map(({ pizza, launchedAt }) => [pizza, launchedAt])]).toEqual([2560, [['p2', 2500]]]);
    expect(session.now().cook?.id).toBe(cook?.id);
    await session.seek(2400);
    expect(session.now().onStone).toEqual([]);
  });

  it('given a look that is typed in, goes on with it and is no real cook', async () => {
    const { session, ingest } = openSession();
    await session.rehearse('good-evening', 1, { skip: true, isDone: true });
    const { cook, t } = session.now();
    const look = await ingest.postSpot({
      channel: 'stone',
      celsius: 231,
      surface: 'cordierite',
      emissivitySet: 0.95,
      reflected: 20,
    });
    expect(look).toMatchObject({ id: 'look1', quality: 'good' });
    expect(session.now().events.at(-1)).toMatchObject({ event: 'look', channel: 'stone', t });
    expect(session.now().cook).toMatchObject({ id: cook?.id, rehearsal: true });
  });
});

describe('a rehearsal that is watched', () => {
  it('given a jump to a moment, pages hear of that moment and of none that it went through on the way', async () => {
    const published: (number | null)[] = [];
    const bench = openSession(undefined, undefined, {
      soon: (work) => {
        published.push(bench.session.now().t);
        work();
        return undefined as unknown as NodeJS.Timeout; // the next change is sent at once too
      },
    });
    await bench.session.rehearse('good-evening', 1, { instead: true });
    published.length = 0;
    await bench.session.seek(4500);
    expect(published.length).toBeGreaterThan(0);
    expect(published.filter((t) => t !== 4500)).toEqual([]);
  });

  it('has marks to jump to: the lit fire and each launch, shortly before it', async () => {
    const { session } = openSession();
    await session.rehearse('good-evening', 1);
    const { rehearsal, t } = session.now();
    expect(t).toBe(0);
    expect(rehearsal?.isDone).toBe(false);
    expect(rehearsal?.marks.map(({ label }) => label)).toEqual([
      'Fire lit',
      ...[1, 2, 3, 4, 5].map((n) => `Pizza ${n}`),
    ]);
    expect(rehearsal?.marks[1]?.t).toBeCloseTo(FIRST_LAUNCH - 30, -1);
    await session.seek(rehearsal?.marks[2]?.t ?? 0);
    expect(session.now().pizzas[0]?.launchedAt).toBeCloseTo(FIRST_LAUNCH, 0);
  });
});

describe('a rehearsal while a real cook runs', () => {
  it('given a cook with readings or taps, is refused and leaves it as it is, unless it is to end it', async () => {
    const { session, store } = openSession();
    const id = await session.startCook();
    session.record({ event: 'fire-lit' });
    await expect(session.rehearse('good-evening', 1)).rejects.toThrow(/end it first/i);
    expect(session.now().cook).toMatchObject({ id, endedAt: null });
    await session.rehearse('good-evening', 1, { instead: true });
    expect(session.now().rehearsal?.name).toBe('good-evening');
    expect(store.cook(id)?.endedAt).not.toBeNull();
  });

  it('given a cook of which nothing has come yet, takes its place', async () => {
    const { session } = openSession();
    await session.startCook();
    await session.rehearse('good-evening', 1);
    expect(session.now().rehearsal).not.toBeNull();
  });
});

it('given a server that is gone while a rehearsal plays, after its restart that rehearsal is over', async () => {
  const first = openSession();
  await first.session.rehearse('good-evening', 1, { skip: true, isDone: true });
  const played = first.store.cooks().find(({ rehearsal }) => rehearsal);
  expect(played?.endedAt).toBeNull();
  const second = openSession(first.folder, first.clock);
  second.session.resume();
  expect(second.session.now().cook).toBeNull();
  expect(second.store.cook(played?.id ?? NaN)?.endedAt).not.toBeNull();
});
