import { beforeEach, expect, it } from 'vitest';
import { bundledRecording, openSession, type Bench } from '../../support/session.ts';

let bench: Bench;
const pizzas = () => bench.session.cook?.pizzas ?? [];
const guess = () => bench.session.now().onStone.find(({ pizza }) => pizza === null);

/** The rest of an evening's readings, none of its taps. */
let lines: Iterator<ReturnType<typeof bundledRecording>['lines'][number]>;
/** Plays on until `isEnough`, or until the recording is over. */
function playUntil(isEnough: () => boolean): void {
  while (!isEnough()) {
    const next = lines.next();
    if (next.done) return;
    bench.clock.at = next.value.t * 1000;
    if (!('event' in next.value)) {
      const { t: _, ...frame } = next.value;
      bench.ingest.frame(frame);
    }
    bench.session.advance();
  }
}

beforeEach(async () => {
  bench = openSession();
  const { header, lines: all } = bundledRecording('good-evening');
  lines = all.values();
  for (const probe of header.probes) bench.store.putProbe(probe);
  await bench.session.startCook({ name: 'Floury hands', targets: header.targets });
  for (const name of ['Ada', 'Ben'])
    await bench.commands.addPizza({ name, eater: '', likes: '', turnAfter: 210, offAfter: 430 });
  playUntil(() => guess() !== undefined);
  expect(guess()).toBeDefined();
});

it.each(['turn', 'off'] as const)(
  'given a launch that was only noticed, %s is of the next pizza of the run',
  async (does) => {
    const launchedAt = guess()?.launchedAt ?? NaN;
    await bench.commands.posted({ event: does });
    expect(pizzas()[0]).toMatchObject({ name: 'Ada', launchedAt });
    expect(pizzas()[0]?.[does === 'turn' ? 'turnedAt' : 'offAt']).not.toBeNull();
    expect(pizzas()[1]?.launchedAt).toBeNull();
    expect(bench.session.now().questions.filter(({ noticed }) => noticed === 'launch')).toEqual([]);
  },
);

it('given a launch that was only noticed and no answer, it is that of the next pizza before its turn is due', () => {
  const { launchedAt = NaN, turnAt = null } = guess() ?? {};
  playUntil(() => pizzas()[0]?.launchedAt !== null);
  expect(pizzas()[0]).toMatchObject({ name: 'Ada', launchedAt });
  expect(bench.session.t()).toBeLessThan(turnAt ?? 0);
  expect(bench.session.now().onStone.map(({ pizza }) => pizza)).toEqual(['p1']);
});

it('given a no to the question, nothing is taken for granted', async () => {
  const at = guess()?.launchedAt ?? NaN;
  await bench.commands.posted({ event: 'answer', noticed: 'launch', at, yes: false });
  playUntil(() => bench.session.t() > at + 200);
  expect(pizzas().map(({ launchedAt }) => launchedAt)).toEqual([null, null]);
});

it('given a launch that was taken for granted and taken back, it is not taken for granted again', async () => {
  playUntil(() => pizzas()[0]?.launchedAt !== null);
  const supposed = bench.session.cook?.events.find(({ event }) => event.event === 'answer');
  await bench.commands.undo(supposed?.id ?? '');
  const until = bench.session.t() + 60;
  playUntil(() => bench.session.t() > until);
  expect(pizzas()[0]?.launchedAt).toBeNull();
});

/** The pizzas that lie on the stone: as the run has it, and as the engine calls them. */
const lying = () =>
  pizzas().flatMap(({ id, launchedAt, offAt }) => (launchedAt !== null && offAt === null ? [id] : []));
const called = () => bench.session.now().onStone.flatMap(({ pizza }) => (pizza === null ? [] : [pizza]));
const offAsked = () => bench.session.now().questions.find(({ noticed }) => noticed === 'off');

it('given an off that was only noticed, the pizza is called off until somebody answers, and then the run and the engine have it off', async () => {
  playUntil(() => lying().length > 0);
  playUntil(() => {
    expect(called()).toEqual(lying());
    return offAsked() !== undefined;
  });
  const at = offAsked()?.at ?? NaN;
  expect(called()).toEqual(['p1']);
  await bench.commands.answer(offAsked()?.id ?? '', true);
  expect(pizzas()[0]?.offAt).toBe(at);
  expect(called()).toEqual([]);
});

it('given an off that was only noticed and no answer, it is taken for one, in the run as in the engine', () => {
  playUntil(() => offAsked() !== undefined);
  const at = offAsked()?.at ?? NaN;
  playUntil(() => {
    expect(called()).toEqual(lying());
    return offAsked() === undefined;
  });
  expect(pizzas()[0]?.offAt).toBe(at);
  expect(called()).toEqual([]);
});

it('given a no to an off that was noticed, the pizza lies there and is called off', async () => {
  playUntil(() => offAsked() !== undefined);
  await bench.commands.answer(offAsked()?.id ?? '', false);
  const until = bench.session.t() + 200;
  playUntil(() => bench.session.t() > until);
  expect(lying()).toEqual(['p1']);
  expect(called()).toEqual(['p1']);
  expect(bench.session.now().alerts.map(({ alert }) => alert)).toContain('off-due');
});
