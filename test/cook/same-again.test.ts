import { describe, expect, it } from 'vitest';
import { createCourse } from '../../server/course/course.ts';
import { exportCook, importCook } from '../../server/cook/portable.ts';
import { withTimes } from '../../server/cook/pizzas.ts';
import type { Store } from '../../server/store/store.ts';
import type { EngineOutput } from '../../shared/engine.ts';
import { openStage, tape, type Bench } from '../support/stage.ts';

async function* textLines(text: string): AsyncGenerator<string> {
  for (const line of text.split(/\r?\n/)) yield line;
}
/** All that is kept of a cook, without its number. */
const kept = (store: Store, id: number) => {
  const { id: _number, picture: _picture, ...cook } = store.cook(id) ?? { id: 0, picture: null };
  return {
    cook,
    readings: store.readings(id, {}),
    lines: [...store.lines(id)],
    marks: store.marks(id),
    events: store.events(id),
    pizzas: withTimes(store.pizzas(id), store.events(id)),
  };
};

/** A live cook: frames of the fixture as a source delivers them, a person who taps, ticks of the server between. */
async function liveCook(bench: Bench, name: string): Promise<number> {
  const { header, lines } = tape(name);
  for (const probe of header.probes) bench.store.putProbe(probe);
  const id = await bench.stage.startCook({ name: 'By hand', targets: header.targets });
  const start = bench.clock.at;
  for (const line of lines) {
    while (bench.clock.at + 1000 < start + line.t * 1000) {
      bench.clock.at += 1000;
      bench.stage.beat();
    }
    bench.clock.at = start + line.t * 1000;
    if ('event' in line) {
      const { t: _t, ...event } = line;
      await bench.person.event(event);
    } else {
      const { t: _t, ...body } = line;
      bench.incoming.frame(body);
    }
  }
  const { alerts } = bench.stage.now();
  if (alerts[0]) await bench.person.event({ event: 'acknowledge', alert: alerts[0].alert });
  bench.stage.endCook();
  await bench.store.kept();
  return id;
}

/** The cook's recording, played through by itself, gives the readings, states and alerts that were kept of it. */
function expectSameAgain(bench: Bench, id: number): void {
  const [head = '', ...lines] = [...exportCook(bench.store, id, 'jsonl')];
  const course = createCourse(JSON.parse(head));
  const outputs: EngineOutput[] = [];
  const readings = lines.flatMap((line) => {
    const step = course.line(JSON.parse(line));
    outputs.push(...step.outputs);
    return step.readings;
  });
  const was = kept(bench.store, id);
  expect(readings.length).toBeGreaterThan(1000);
  expect(readings).toEqual(was.readings.map(({ at: _at, ...reading }) => reading));
  const lastLine = was.lines.at(-1)?.t ?? 0;
  expect(outputs.filter((o) => o.type !== 'forecast')).toEqual(was.marks.filter((m) => m.t <= lastLine));
  expect(was.marks.some((m) => m.type === 'alert')).toBe(true);
}

describe.each(['good-evening', 'bad-probe', 'runaway'])('a live cook like %s', (name) => {
  it('replays from its recording to the same readings, states and alerts', async () => {
    const bench = openStage();
    const id = await liveCook(bench, name);
    expectSameAgain(bench, id);
    bench.store.close();
  });

  it.each(['jsonl', 'csv'] as const)('goes out and in again as %s with nothing lost', async (format) => {
    const bench = openStage();
    const id = await liveCook(bench, name);
    const pizza = bench.store.pizzas(id)[0];
    if (pizza)
      bench.store.putPizza(id, { ...pizza, base: 'scorched', top: 'right', notes: 'a "quoted", comma' });
    bench.store.patchCook(id, { notes: '=SUM(A1)\nsecond line' });
    const text = [...exportCook(bench.store, id, format)].join('');
    const again = await importCook(bench.store, textLines(text));
    expect(again.skipped).toEqual([]);
    expect(kept(bench.store, again.id)).toEqual(kept(bench.store, id));
    bench.store.close();
  });
});

describe('a second cook on the same grill', () => {
  it('starts from what the first taught, and still replays to the same', async () => {
    const bench = openStage();
    await liveCook(bench, 'good-evening');
    bench.clock.at += 60_000;
    const id = await liveCook(bench, 'good-evening');
    expect(bench.store.cook(id)?.header.grill?.cooks).toBe(1);
    expectSameAgain(bench, id);
    bench.store.close();
  });
});

describe('a cook whose server was killed', () => {
  it('goes on with the same pizzas, timers and standing alerts', async () => {
    const bench = openStage();
    const { header, lines } = tape('good-evening');
    for (const probe of header.probes) bench.store.putProbe(probe);
    await bench.stage.startCook({ targets: header.targets });
    const launch = lines.findIndex((line) => 'event' in line && line.event === 'launch');
    for (const line of lines.slice(0, launch + 30)) {
      bench.clock.at = line.t * 1000;
      if ('event' in line) await bench.person.event(line);
      else bench.incoming.frame(line);
    }
    await bench.store.kept();
    const before = bench.stage.now();
    // No close, no goodbye: another server opens the same folder two seconds later.
    bench.clock.at += 2000;
    const after = openStage(bench.folder, bench.clock);
    after.stage.resume();
    const now = after.stage.now();
    expect(now.cook).toEqual(before.cook);
    expect(now.onStone).toEqual(before.onStone);
    expect(now.onStone).toHaveLength(1);
    expect(now.pizzas).toEqual(before.pizzas);
    expect(now.events).toEqual(before.events);
    expect(now.alerts).toEqual(before.alerts);
    expect(now.state).toBe(before.state);
    expect((now.t ?? 0) - (before.t ?? 0)).toBeCloseTo(2, 3);
    expect(after.store.marks(1)).toEqual(bench.store.marks(1));
    after.store.close();
    bench.store.close();
  });

  it('is over when nobody touched it for half a day', async () => {
    const bench = openStage();
    await bench.incoming.postReadings([{ channel: 'stone', celsius: 200 }]);
    bench.clock.at += 13 * 3600_000;
    const after = openStage(bench.folder, bench.clock);
    after.stage.resume();
    expect(after.stage.now().cook).toBeNull();
    expect(after.store.cook(1)?.endedAt).toBe(bench.store.cook(1)?.startedAt);
    after.store.close();
    bench.store.close();
  });
});
