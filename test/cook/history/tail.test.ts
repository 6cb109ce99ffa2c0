import { beforeEach, describe, expect, it } from 'vitest';
import { listCooks } from '../../../server/cook/history/cook-history.ts';
import { openSession, type Bench } from '../../support/session.ts';

let bench: Bench;
const MINUTE = 60_000;

/** Posts stone and dome, which go straight to these, °C, a reading of each every half minute. */
async function post(minutes: number, to: { stone: number; dome: number }): Promise<void> {
  const from = last;
  for (let m = 0.5; m <= minutes; m += 0.5) {
    bench.clock.at += MINUTE / 2;
    const at = (channel: 'stone' | 'dome') => from[channel] + ((to[channel] - from[channel]) * m) / minutes;
    last = { stone: at('stone'), dome: at('dome') };
    const readings = (['stone', 'dome'] as const).map((channel) => ({ channel, celsius: last[channel] }));
    expect(await bench.ingest.postReadings(readings)).toBe(2);
  }
}
let last = { stone: 265, dome: 250 };
const cooks = (): number[] => bench.store.cooks().map(({ id }) => id);

beforeEach(async () => {
  bench = openSession();
  last = { stone: 265, dome: 250 };
  await post(5, last);
  expect(cooks()).toEqual([1]);
});
/** Ends the cook of a fire that somebody tended. */
async function end(): Promise<void> {
  await bench.commands.event({ event: 'vent', note: 'both shut' });
  bench.session.endCook();
}

describe('readings of warm probes after a cook was ended', () => {
  beforeEach(end);

  it('given probes that cool for hours, are kept with that cook, and begin no other', async () => {
    const before = bench.store.readings(1, {}).length;
    await post(240, { stone: 90, dome: 60 });
    expect(bench.session.cook).toBeNull();
    expect(cooks()).toEqual([1]);
    const stored = bench.store.readings(1, {});
    expect(stored).toHaveLength(before + 960);
    expect(stored.at(-1)).toMatchObject({ celsius: 60, at: bench.clock.wall() });
  });

  it('given a restart meanwhile, still begin no other', async () => {
    await post(10, { stone: 250, dome: 230 });
    bench.store.close();
    bench = openSession(bench.folder, bench.clock);
    bench.session.resume();
    await post(10, { stone: 240, dome: 210 });
    expect(cooks()).toEqual([1]);
    expect(bench.store.readings(1, {}).at(-1)?.celsius).toBe(210);
  });

  it('given a new fire, stone and dome rising again, begin a cook by themselves', async () => {
    await post(180, { stone: 110, dome: 90 });
    await post(40, { stone: 160, dome: 330 });
    expect(cooks()).toHaveLength(2);
    expect(bench.session.cook?.id).toBe(2);
  });

  it('given a fire that the person lights, belong to its cook', async () => {
    await post(10, { stone: 250, dome: 230 });
    await bench.session.startCook();
    await post(1, { stone: 249, dome: 229 });
    expect(bench.session.cook?.last.get('stone')?.reading.celsius).toBe(249);
  });

  it('given silence for hours before them, begin a cook as always', async () => {
    bench.clock.at += 4 * 60 * MINUTE;
    await post(1, { stone: 20, dome: 20 });
    expect(cooks()).toHaveLength(2);
  });

  it('given that the cook was deleted, begin another', async () => {
    bench.store.removeCook(1);
    await post(1, last);
    expect(bench.session.cook).not.toBeNull();
  });
});

it('given a cook that nobody tended, ended, begin another with the next post', async () => {
  bench.session.endCook();
  await post(1, last);
  expect(cooks()).toEqual([2, 1]);
});

it('given frames of a source after the end, begin no cook while they go on, and one after hours of silence', () => {
  bench.session.endCook();
  const minute = () => {
    bench.clock.at += MINUTE;
    bench.ingest.frame({ source: 'serial', port: 'grill', line: 'dome=200' });
  };
  for (let m = 0; m < 300; m++) minute();
  expect(cooks()).toEqual([1]);
  bench.clock.at += 4 * 60 * MINUTE;
  minute();
  expect(cooks()).toHaveLength(2);
});

it('given cooks without a launch, a word or any change, the list marks them as empty and no others', async () => {
  bench.session.endCook();
  bench.clock.at += 4 * 60 * MINUTE;
  last = { stone: 20, dome: 20 };
  await post(2, { stone: 22, dome: 21 });
  bench.session.endCook();
  bench.clock.at += 4 * 60 * MINUTE;
  await post(20, { stone: 90, dome: 240 });
  bench.session.endCook();
  bench.clock.at += 4 * 60 * MINUTE;
  last = { stone: 20, dome: 20 };
  await post(2, last);
  await bench.commands.event({ event: 'note', note: 'trying the probes' });
  bench.session.endCook();
  const rows = await listCooks(bench.store);
  expect(rows.map(({ id, isEmpty }) => [id, isEmpty])).toEqual([
    [4, false],
    [3, false],
    [2, true],
    [1, true],
  ]);
});
