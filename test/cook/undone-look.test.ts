import fc from 'fast-check';
import { Readable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { detailOf } from '../../server/cook/history/cook-history.ts';
import { estimatesOf } from '../../server/cook/history/past-estimates.ts';
import { exportCook } from '../../server/cook/portable/cook-export.ts';
import { importCook } from '../../server/cook/portable/cook-import.ts';
import { atOnce } from '../../shared/work/in-pieces.ts';
import { createCore } from '../../server/core/core.ts';
import type { RecordingHeader, RecordingLine } from '../../shared/recording.ts';
import { bankCook } from '../engine-evaluation/cooks.ts';
import { cook } from '../simulator/cook.ts';
import { openSession, type Bench } from '../support/session.ts';
import { headerOf } from '../support/header.ts';
import { forAll } from '../support/property.ts';

/** A cook of the bank, its dome measured each 10 s and its stone looked at every 5 min, with what its people did. */
const { plan } = bankCook(0);
const truth = cook(plan);
const UNTIL = 4200;
const header: RecordingHeader = headerOf({ targets: { stone: truth.stoneBand } });

function linesOf(dome: 'measured' | 'dial'): RecordingLine[] {
  const lines: RecordingLine[] = [];
  const at = (curve: ArrayLike<number>, t: number): number => Math.round(curve[t] ?? 0);
  for (let t = 0; t < UNTIL; t += 10) {
    if (dome === 'measured') lines.push({ t, channel: 'dome', celsius: truth.dome[t] ?? 0 });
    if (t % 300 !== 290) continue;
    lines.push({ t: t + 1, source: 'spot', channel: 'stone', celsius: at(truth.stone, t), id: `stone ${t}` });
    if (dome === 'dial')
      lines.push({ t: t + 2, source: 'spot', channel: 'dome', celsius: at(truth.dome, t), id: `dome ${t}` });
  }
  for (const [i, { t, do: deed }] of truth.actions.entries())
    if ((deed === 'launch' || deed === 'turn' || deed === 'off') && t < UNTIL)
      lines.push({ t, event: deed, id: `e${i + 1}` });
  return lines.sort((a, b) => a.t - b.t);
}

const mistyped = fc.record({
  channel: fc.constantFrom('stone', 'dome'),
  celsius: fc.integer({ min: 20, max: 600 }),
  t: fc.integer({ min: 60, max: 3600 }),
  /** When it is taken back, s after it. */
  after: fc.oneof(fc.integer({ min: 2, max: 12 }), fc.integer({ min: 13, max: 2400 })),
});

describe.each(['measured', 'dial'] as const)('a look taken back, the dome %s', (dome) => {
  it('leaves all that the engine says from then on as if nobody had looked', () => {
    const lines = linesOf(dome);
    forAll({ numRuns: 6 }, mistyped, ({ channel, celsius, t, after }) => {
      const undoneAt = Math.min(UNTIL, t + after) + 0.5;
      const mine: RecordingLine[] = [
        { t: t + 0.5, source: 'spot', channel, celsius, id: 'mistyped' },
        { t: undoneAt, event: 'undo', of: 'mistyped' },
      ];
      const [undone, never] = [createCore(header), createCore(header)];
      for (const line of [...lines, ...mine].sort((a, b) => a.t - b.t)) {
        const outputs = undone.line(line).outputs;
        if (mine.includes(line)) {
          never.tick(line.t);
          if ('event' in line) expect(undone.view()).toEqual(never.view());
          continue;
        }
        const due = never.line(line).outputs;
        if (line.t < undoneAt) continue;
        expect(outputs).toEqual(due);
        if (line.t % 60 === 0) expect(undone.view()).toEqual(never.view());
      }
      expect(undone.view()).toEqual(never.view());
      const struck = undone.cook().entries.filter((entry) => entry.undone);
      expect(struck.map(({ id, event }) => [id, event.event])).toEqual([['mistyped', 'look']]);
    });
  });
});

const LOOK = { surface: 'cordierite', emissivitySet: 0.95, reflected: 20 };

/** Half an hour under a posted dome, its stone looked at every 5 min. @returns the number of the cook */
async function halfAnHour({ session, ingest, clock }: Bench): Promise<number> {
  const id = await session.startCook();
  for (let t = 0; t <= 1800; t += 10) {
    clock.at += 10_000;
    await ingest.postReadings([{ channel: 'dome', celsius: 150 + t / 20 }]);
    if (t % 300 === 290) await ingest.postSpot({ ...LOOK, channel: 'stone', celsius: 100 + t / 20 });
    session.advance();
  }
  return id;
}

/** What screens show of the moment. */
const shown = ({ session }: Bench) => {
  const { channels, state, forecast, alerts, questions } = session.now();
  return { channels, state, forecast, alerts, questions };
};

describe('a look taken back in a live cook', () => {
  it('leaves channels, forecast and curves as they were, its line in the record, and is listed as taken back', async () => {
    const [bench, other] = [openSession(), openSession()];
    const id = await halfAnHour(bench);
    await halfAnHour(other);
    const look = await bench.ingest.postSpot({ ...LOOK, channel: 'stone', celsius: 451 });
    expect(bench.session.now().channels[0]?.celsius).toBeGreaterThan(400);
    for (const { clock, session } of [bench, other]) {
      clock.at += 8000;
      session.advance();
    }
    await bench.commands.undo(look.id);
    expect(shown(bench)).toEqual(shown(other));
    expect(bench.session.cook?.estimates).toEqual(other.session.cook?.estimates);
    expect(bench.store.readings(id, {})).toEqual(other.store.readings(id, {}));
    for (const points of [20, 1000])
      expect(atOnce(bench.store.downsampled(id, {}, points))).toEqual(
        atOnce(other.store.downsampled(id, {}, points)),
      );
    const lines = [...bench.store.lines(id)].slice(-2);
    expect(lines).toMatchObject([
      { source: 'spot', celsius: 451, id: look.id },
      { event: 'undo', of: look.id },
    ]);
    const listed = bench.session.now().events.filter((event) => event.undone);
    expect(listed).toMatchObject([{ id: look.id, event: 'look', channel: 'stone', undone: true }]);
    await expect(bench.commands.undo(look.id)).rejects.toThrow('undone already');
    await expect(bench.commands.undo('e1')).rejects.toThrow('typed in again');
    for (const { store } of [bench, other]) store.close();
  });

  it('is the same after a restart, as a past cook, and out and in again', async () => {
    const bench = openSession();
    const id = await halfAnHour(bench);
    const [first] = bench.session.now().events;
    await bench.commands.undo(first?.id ?? '');
    const live = shown(bench);
    await bench.store.persisted();
    bench.store.close();
    const again = openSession(bench.folder, bench.clock);
    again.session.resume();
    expect(shown(again)).toEqual(live);
    const stored = again.store.readings(id, {});
    expect(stored.filter(({ channel }) => channel === 'stone')).toHaveLength(5);
    const { marks } = await detailOf(again.store, id);
    expect(marks.filter(({ undone }) => undone)).toMatchObject([
      { name: 'look', text: expect.stringContaining('Stone 1') },
    ]);
    for (const format of ['jsonl', 'csv'] as const) {
      const text = [...exportCook(again.store, id, format)].join('');
      if (format === 'csv') expect(text).toContain('stone taken back: 1');
      const copy = await importCook(again.store, Readable.from([Buffer.from(text)]));
      expect(again.store.readings(copy.id, {})).toEqual(stored);
      expect(again.store.events(copy.id)).toEqual(again.store.events(id));
      expect(await estimatesOf(again.store, copy.id)).toEqual(await estimatesOf(again.store, id));
    }
    again.store.close();
  });
});
