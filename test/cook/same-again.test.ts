import { describe, expect, it } from 'vitest';
import { createCore } from '../../server/core/core.ts';
import { Readable } from 'node:stream';
import { exportCook } from '../../server/cook/portable/cook-export.ts';
import { importCook } from '../../server/cook/portable/cook-import.ts';
import { storedPizzas } from '../../server/cook/history/stored-pizzas.ts';
import type { Store } from '../../server/store/store.ts';
import type { EngineOutput } from '../../shared/engine.ts';
import { playLive } from '../support/live-cook.ts';
import { openSession, bundledRecording, type Bench } from '../support/session.ts';

/** All that is kept of a cook, without its number. */
const stored = (store: Store, id: number) => {
  const { id: _number, picture: _picture, ...cook } = store.cook(id) ?? { id: 0, picture: null };
  return {
    cook,
    readings: store.readings(id, {}),
    lines: [...store.lines(id)],
    marks: store.records(id),
    events: store.events(id),
    pizzas: storedPizzas(store, {
      id,
      header: store.cook(id)?.header ?? bundledRecording('good-evening').header,
    }),
  };
};

/** A live cook to its end, with an alert acknowledged. */
async function liveCook(bench: Bench, name: string): Promise<number> {
  const id = await playLive(bench, name);
  const { alerts } = bench.session.now();
  if (alerts[0]) await bench.commands.event({ event: 'acknowledge', alert: alerts[0].alert });
  bench.session.endCook();
  await bench.store.persisted();
  return id;
}

/** The cook's recording, played through by itself, gives the readings, states and alerts that were kept of it. */
function expectSameAgain(bench: Bench, id: number): void {
  const [head = '', ...lines] = [...exportCook(bench.store, id, 'jsonl')];
  const core = createCore(JSON.parse(head));
  const outputs: EngineOutput[] = [];
  const readings = lines.flatMap((line) => {
    const step = core.line(JSON.parse(line));
    outputs.push(...step.outputs);
    return step.readings;
  });
  const was = stored(bench.store, id);
  expect(readings.length).toBeGreaterThan(1000);
  expect(readings).toEqual(was.readings.map(({ at: _at, ...reading }) => reading));
  const lastLine = was.lines.at(-1)?.t ?? 0;
  expect(outputs.filter((o) => o.type !== 'forecast' && o.type !== 'advice')).toEqual(
    was.marks.filter((m) => m.t <= lastLine),
  );
  expect(was.marks.some((m) => m.type === 'alert')).toBe(true);
}

describe.each(['good-evening', 'bad-probe', 'runaway'])('a live cook like %s', (name) => {
  it('replays from its recording to the same readings, states and alerts', async () => {
    const bench = openSession();
    const id = await liveCook(bench, name);
    expectSameAgain(bench, id);
  });

  it.each(['jsonl', 'csv'] as const)('goes out and in again as %s with nothing lost', async (format) => {
    const bench = openSession();
    const id = await liveCook(bench, name);
    const pizza = bench.store.pizzas(id)[0];
    if (pizza)
      bench.store.putPizza(id, { ...pizza, base: 'scorched', top: 'right', notes: 'a "quoted", comma' });
    bench.store.patchCook(id, { notes: '=SUM(A1)\nsecond line' });
    const text = [...exportCook(bench.store, id, format)].join('');
    const again = await importCook(bench.store, Readable.from([Buffer.from(text)]));
    expect(again.skipped).toEqual([]);
    expect(stored(bench.store, again.id)).toEqual(stored(bench.store, id));
  });
});

describe('a second cook on the same grill', () => {
  it('starts from what the first taught, and still replays to the same', async () => {
    const bench = openSession();
    await liveCook(bench, 'good-evening');
    bench.clock.at += 60_000;
    const id = await liveCook(bench, 'good-evening');
    expect(bench.store.cook(id)?.header.grill?.cooks).toBe(1);
    expectSameAgain(bench, id);
  });
});

describe('a cook whose server was killed', () => {
  it('goes on with the same pizzas, timers and standing alerts', async () => {
    const bench = openSession();
    const { header, lines } = bundledRecording('good-evening');
    for (const probe of header.probes) bench.store.putProbe(probe);
    await bench.session.startCook({ targets: header.targets });
    const launch = lines.findIndex((line) => 'event' in line && line.event === 'launch');
    for (const line of lines.slice(0, launch + 30)) {
      bench.clock.at = line.t * 1000;
      if ('event' in line) await bench.commands.event(line);
      else bench.ingest.frame(line);
    }
    await bench.store.persisted();
    const before = bench.session.now();
    // No close, no goodbye: another server opens the same folder two seconds later.
    bench.clock.at += 2000;
    const after = openSession(bench.folder, bench.clock);
    after.session.resume();
    const now = after.session.now();
    expect(now.cook).toEqual(before.cook);
    expect(now.onStone).toEqual(before.onStone);
    expect(now.onStone).toHaveLength(1);
    expect(now.pizzas).toEqual(before.pizzas);
    expect(now.events).toEqual(before.events);
    expect(now.alerts).toEqual(before.alerts);
    expect(now.state).toBe(before.state);
    expect((now.t ?? 0) - (before.t ?? 0)).toBeCloseTo(2, 3);
    expect(after.store.records(1)).toEqual(bench.store.records(1));
  });

  it('is over when nobody touched it for half a day', async () => {
    const bench = openSession();
    await bench.ingest.postReadings([{ channel: 'stone', celsius: 200 }]);
    bench.clock.at += 13 * 3600_000;
    const after = openSession(bench.folder, bench.clock);
    after.session.resume();
    expect(after.session.now().cook).toBeNull();
    expect(after.store.cook(1)?.endedAt).toBe(bench.store.cook(1)?.startedAt);
  });
});
