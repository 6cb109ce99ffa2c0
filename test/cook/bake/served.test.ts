import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import type { StoneSetup } from '../../../shared/evening/evening.ts';
import { call, scratch, startServer, until } from '../../support/server.ts';
import { fallShare } from './played.ts';
import { STONE_AND_DOME } from '../../support/header.ts';

type Row = {
  stone: number;
  dome: number;
  band: readonly [number, number];
  domeBand: readonly [number, number];
  fall: number;
  own: number;
};
const LAUNCH = 240;

/** A recording of a steady stone on which a pizza is launched that nobody takes off. @returns the file */
function recordingOf({ stone, dome, band, domeBand, fall, own }: Row): string {
  const header = {
    recording: 1,
    startedAt: '2026-05-02T16:00:00.000Z',
    channels: STONE_AND_DOME,
    targets: { stone: band, dome: domeBand },
    bake: { turnAfter: Math.round(own * 0.45), offAfter: own },
  };
  const readings = Array.from({ length: Math.round((LAUNCH + 1.4 * own) / 2) }, (_, i) => {
    const since = 2 * i - LAUNCH;
    return [
      { t: 2 * i, channel: 'stone', celsius: stone - fall * fallShare(since, 11, 160) },
      { t: 2 * i, channel: 'dome', celsius: dome - 45 * fallShare(since, 6, 55) },
    ];
  }).flat();
  const launch = { t: LAUNCH, event: 'launch', pizza: 'p1' };
  const lines = [...readings, launch].sort((a, b) => a.t - b.t);
  const file = join(scratch(), 'bake.jsonl');
  writeFileSync(file, [header, ...lines].map((line) => JSON.stringify(line)).join('\n'));
  return file;
}

/** Plays it by a real server. @returns seconds from the launch to the call */
async function calledOff(row: Row, stone: Partial<StoneSetup>): Promise<number> {
  const server = await startServer(['--play', recordingOf(row), '--pace', '1']);
  await call(server.url, 'PATCH', '/api/settings', {
    stone: { name: '', material: 'cordierite', thicknessMm: 15, gapMm: 10, ...stone },
  });
  await call(server.url, 'POST', '/api/rehearsal', { do: 'start', pace: 200 });
  const { body } = await until(
    () => call(server.url, 'GET', '/api/now'),
    ({ body }) => (body['alerts'] as { alert: string }[]).some(({ alert }) => alert === 'off-due'),
  );
  const due = (body['alerts'] as { alert: string; raisedAt: number }[]).find(
    ({ alert }) => alert === 'off-due',
  );
  await server.stop();
  return (due?.raisedAt ?? 0) - LAUNCH;
}

const USUAL = { band: [255, 285], domeBand: [235, 275] } as const;
const STEEL = { material: 'steel', thicknessMm: 6 } as const;

it.each([
  [{ ...USUAL, stone: 270, dome: 262, fall: 40, own: 430 }, {}, 1, 1],
  [{ ...USUAL, stone: 270, dome: 259, fall: 12, own: 430 }, {}, 1, 1],
  [{ ...USUAL, stone: 270, dome: 256, fall: 40, own: 310 }, STEEL, 1, 1],
  [{ stone: 345, dome: 335, band: [330, 360], domeBand: [315, 355], fall: 40, own: 170 }, {}, 1, 1],
  [{ ...USUAL, stone: 281, dome: 268, fall: 40, own: 430 }, {}, 0.8, 0.99],
  [{ ...USUAL, stone: 259, dome: 250, fall: 40, own: 430 }, {}, 1.01, 1.2],
] as const)(
  'given %j on %j and no verdict yet, played by the server, calls it off at %d to %d times the own time',
  async (row, stone, least, most) => {
    const share = (await calledOff(row, stone)) / row.own;
    if (process.env['TELL']) console.log(JSON.stringify({ ...row, ...stone }), share);
    expect(share).toBeGreaterThan(least - 0.02);
    expect(share).toBeLessThan(most + 0.02);
  },
);
