import { Readable } from 'node:stream';
import { expect, it, describe } from 'vitest';
import { exportCook } from '../../../server/cook/portable/cook-export.ts';
import { importCook } from '../../../server/cook/portable/cook-import.ts';
import { openSession } from '../../support/session.ts';

const RECORDING = [
  {
    recording: 1,
    startedAt: '2026-05-02T16:00:00.000Z',
    channels: [
      { id: 'stone', role: 'stone' },
      { id: 'dome', role: 'dome' },
      { id: 'air', role: 'other', name: 'Air, shade' },
    ],
    cook: { pizzas: [{ id: 'p1', name: 'Leek', place: 0 }] },
  },
  { t: 0.5, source: 'serial', port: 'grill', line: 'no number here' },
  { t: 1.25, channel: 'stone', celsius: 263.4 },
  { t: 1.5, channel: 'dome', celsius: 250 },
  { t: 1.75, event: 'launch', pizza: 'p1', note: 'to the left, "well" floured' },
  { t: 1.9, event: 'note', note: '=1+1' },
  { t: 12.25, channel: 'stone', celsius: 241.5 },
  { t: 12.5, channel: 'stone', celsius: 240.5 },
  { t: 13.5, channel: 'dome', celsius: null, fault: 'open-circuit' },
  { t: 20, source: 'serial', port: 'grill', line: 'nor here' },
].map((line) => JSON.stringify(line));

/** Rows of plain cells: none of those looked at here holds a comma. */
const cells = (text: string): string[][] =>
  text
    .trim()
    .split('\r\n')
    .map((row) => row.split(','));

async function tables(): Promise<{ plain: string; whole: string; again: string; first: string }> {
  const bench = openSession();
  const { id } = await importCook(bench.store, Readable.from([RECORDING.join('\n')]));
  const plain = [...exportCook(bench.store, id, 'csv', { withRecording: false })].join('');
  const whole = [...exportCook(bench.store, id, 'csv')].join('');
  const { id: second, skipped } = await importCook(bench.store, Readable.from([whole]));
  expect(skipped).toEqual([]);
  const [first = '', again = ''] = [id, second].map((cookId) =>
    [...exportCook(bench.store, cookId, 'jsonl')].join(''),
  );
  bench.store.close();
  return { plain, whole, again, first };
}

describe('the table of a cook', () => {
  it('has its units in the head and a column a channel', async () => {
    const [head] = (await tables()).plain.split('\r\n');
    expect(head).toBe(
      'time (UTC),since the start (s),Stone (°C),Dome (°C),"Air, shade (°C)",event,pizza,note,doubt',
    );
  });

  it('has a row a moment, with ISO times, and none for a frame that says nothing', async () => {
    const rows = cells((await tables()).plain).slice(1);
    expect(rows.map((row) => row.slice(0, 4))).toEqual([
      ['2026-05-02T16:00:01.250Z', '1.25', '263.4', '250'],
      ['2026-05-02T16:00:01.900Z', '1.9', '', ''],
      ['2026-05-02T16:00:12.250Z', '12.25', '241.5', ''],
      ['2026-05-02T16:00:12.500Z', '12.5', '240.5', ''],
      ['2026-05-02T16:00:13.500Z', '13.5', '', ''],
    ]);
  });

  it('tells what happened beside the values, with the pizza by its name, and no spreadsheet runs a note', async () => {
    const { plain } = await tables();
    expect(plain).toContain('launch,Leek,"to the left, ""well"" floured"');
    expect(plain).toContain("note,,'=1+1");
    expect(plain).toMatch(/dome bad .*open.circuit/);
  });

  it('with its recording comes in again with nothing lost, frames that say nothing included', async () => {
    const { first, again, whole } = await tables();
    expect(again).toBe(first);
    expect(whole.split('\r\n')[0]).toMatch(/,doubt,recording$/);
  });

  it('of an older version still comes in', async () => {
    const bench = openSession();
    const quoted = (line: string): string => `"${line.replaceAll('"', '""')}"`;
    const old = [
      'kind,t,at,channel,celsius,quality,event,note,line',
      ...RECORDING.map((line) => `frame,,,,,,,,${quoted(line)}`),
      'reading,1.25,,stone,263.4,good,,,',
    ].join('\r\n');
    const { id, skipped } = await importCook(bench.store, Readable.from([old]));
    expect(skipped).toEqual([]);
    expect(bench.store.lineCount(id)).toBe(RECORDING.length - 1);
  });
});

it('a recording that an editor saved with a byte order mark, brought in, is the same as without it', async () => {
  const bench = openSession();
  const text = RECORDING.join('\n');
  const exportOf = async (bytes: Buffer): Promise<string> => {
    const { id, bad } = await importCook(
      bench.store,
      Readable.from([bytes.subarray(0, 2), bytes.subarray(2)]),
    );
    expect(bad).toBe(0);
    return [...exportCook(bench.store, id, 'jsonl')].join('');
  };
  expect(await exportOf(Buffer.from(`\uFEFF${text}`))).toBe(await exportOf(Buffer.from(text)));
});
