import { createServer } from 'node:net';
import { once } from 'node:events';
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { call, fixture, peelside, scratch, startServer } from '../support/server.ts';

type Line = { t: number; type: string } & Record<string, unknown>;
const linesOf = (out: string): Line[] =>
  out
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line) as Line);
/** One plain sentence on stderr, no stack trace. */
const isOneSentence = (err: string): boolean =>
  err.trim().split('\n').length === 1 && /^[A-Z/].*\.$/.test(err.trim()) && !/\bat .*:\d+:\d+/.test(err);

/** The first part of a recording: enough to be warm, and soon gone through. */
function begun(): string {
  const lines = readFileSync(fixture('runaway'), 'utf8').split('\n');
  const file = join(scratch(), 'begun.jsonl');
  writeFileSync(file, lines.slice(0, Math.floor(lines.length / 2)).join('\n'));
  return file;
}

describe('peelside analyse', () => {
  it('prints states, alerts, forecasts, advice and what it noticed, in time order', async () => {
    const { code, out, err } = await peelside(['analyse', fixture('good-evening')]);
    expect(err).toBe('');
    expect(code).toBe(0);
    const lines = linesOf(out);
    expect(lines.every((line, i) => i === 0 || line.t >= (lines[i - 1]?.t ?? 0))).toBe(true);
    expect(new Set(lines.map((line) => line.type))).toEqual(
      new Set(['state', 'alert', 'forecast', 'noticed', 'advice']),
    );
    expect(lines.some((line) => line['alert'] === 'stone-ready')).toBe(true);
    const forecasts = lines.filter((line) => line.type === 'forecast');
    const gaps = forecasts.slice(1).map((line, i) => line.t - (forecasts[i]?.t ?? 0));
    expect(Math.max(...gaps)).toBeLessThanOrEqual(31);
    expect(forecasts[0]).not.toHaveProperty('curves');
    const launch = lines.find((line) => line['event'] === 'launch')?.t ?? 0;
    const advice = lines.filter((line) => line.type === 'advice' && line.t < launch);
    const pauses = advice.slice(1).map((line, i) => line.t - (advice[i]?.t ?? 0));
    expect(Math.max(...pauses)).toBeLessThanOrEqual(60);
  });

  it('takes several recordings as cooks of one grill: each line says which, the first as it would be alone', async () => {
    const file = begun();
    const alone = linesOf((await peelside(['analyse', file])).out);
    const both = linesOf((await peelside(['analyse', file, file])).out);
    const of = (cook: number): Line[] => both.filter((line) => line['cook'] === cook);
    expect(of(1).map((line) => ({ ...line, cook: undefined }))).toEqual(alone);
    expect(of(2).length).toBeGreaterThan(10);
    // what the first taught moves the second's forecasts
    expect(of(2).map((line) => ({ ...line, cook: undefined }))).not.toEqual(alone);
  });

  it('--given-dome changes forecasts alone, and refuses what is piped in', async () => {
    const file = begun();
    const usual = linesOf((await peelside(['analyse', file])).out);
    const given = linesOf((await peelside(['analyse', '--given-dome', file])).out);
    const noticed = (lines: readonly Line[]): Line[] => lines.filter(({ type }) => type === 'noticed');
    expect(noticed(given)).toEqual(noticed(usual));
    const forecasts = (lines: readonly Line[]): Line[] => lines.filter(({ type }) => type === 'forecast');
    expect(forecasts(given)).not.toEqual(forecasts(usual));
    expect((await peelside(['analyse', '--given-dome', '-'])).err).toMatch(/name a file/);
  });

  it('plays the rest of a recording whose last line is cut off, and says which it skipped', async () => {
    const whole = readFileSync(fixture('runaway'), 'utf8');
    const cut = join(scratch(), 'cut.jsonl');
    writeFileSync(cut, whole.slice(0, whole.length / 2));
    const { code, out, err } = await peelside(['analyse', cut]);
    expect(code).toBe(0);
    expect(linesOf(out).length).toBeGreaterThan(10);
    expect(err).toMatch(/^line \d+ was skipped: it is not JSON\.\n$/);
  });

  it.each([
    [
      'a recording of another version',
      '{"recording":2,"startedAt":"2026-05-02T16:00:00.000Z","channels":[]}\n',
      /version 2/,
    ],
    ['something else', 'hello\n', /not JSON/],
    ['an empty file', '', /can't be played/],
    ['a header without channels', '{"recording":1,"startedAt":"2026-05-02T16:00:00.000Z"}\n', /channels/],
  ])('refuses %s', async (_what, text, says) => {
    const file = join(scratch(), 'odd.jsonl');
    writeFileSync(file, text);
    const { code, err } = await peelside(['analyse', file]);
    expect(code).toBe(1);
    expect(err).toMatch(says);
    expect(isOneSentence(err)).toBe(true);
  });

  it('refuses a file that is not there', async () => {
    const { code, err } = await peelside(['analyse', '/nowhere/at-all.jsonl']);
    expect(code).toBe(1);
    expect(isOneSentence(err)).toBe(true);
  });
});

describe('peelside export and import', () => {
  it.each(['jsonl', 'csv'])('takes a cook out as %s and in again the same', async (format) => {
    const data = scratch();
    const recording = join(scratch(), 'one.jsonl');
    copyFileSync(fixture('runaway'), recording);
    expect((await peelside(['import', recording, '--data', data])).out).toMatch(/^Cook 1: \d+ lines\.\n$/);
    const first = await peelside(['export', '1', '--format', format, '--data', data]);
    const file = join(scratch(), `cook.${format}`);
    writeFileSync(file, first.out);
    expect((await peelside(['import', file, '--data', data])).code).toBe(0);
    const second = await peelside(['export', '2', '--format', format, '--data', data]);
    expect(second.out.length).toBeGreaterThan(100_000);
    expect(second.out === first.out).toBe(true);
  });

  it.each([
    ['a cook that is not there', ['export', '9'], /no cook 9/],
    ['a name that is no number', ['export', 'sunday'], /by its number/],
    ['an unknown format', ['export', '1', '--format', 'xls'], /csv or jsonl/],
    ['an unknown option', ['export', '1', '--shape', 'round'], /Unknown option '--shape'/],
    ['a missing word', ['export'], /Use: peelside export/],
  ])('refuses %s', async (_what, args, says) => {
    const { code, err } = await peelside([...args, '--data', scratch()]);
    expect(code).toBe(1);
    expect(err).toMatch(says);
  });
});

describe('peelside serve', () => {
  it('says so when the port is taken', async () => {
    const occupied = createServer().listen(0, '127.0.0.1');
    await once(occupied, 'listening');
    const address = occupied.address();
    const port = typeof address === 'object' && address ? address.port : 0;
    const { code, err } = await peelside(['serve', '--port', String(port), '--data', scratch(), '--no-open']);
    occupied.close();
    expect(code).toBe(1);
    expect(err).toMatch(new RegExp(`Port ${port} is taken`));
    expect(isOneSentence(err)).toBe(true);
  });

  it('says so when another server has the data folder', async () => {
    const server = await startServer();
    const { code, err } = await peelside(['serve', '--port', '0', '--data', server.data, '--no-open']);
    await server.stop();
    expect(code).toBe(1);
    expect(err).toMatch(/Another peelside serves/);
    expect(isOneSentence(err)).toBe(true);
  });

  it('says so when the data folder can not be made', async () => {
    const file = join(scratch(), 'a-file');
    writeFileSync(file, '');
    const { code, err } = await peelside(['serve', '--data', join(file, 'inside'), '--no-open']);
    expect(code).toBe(1);
    expect(err).toMatch(/data folder .* choose another with --data/);
  });

  it.each([
    ['--port', 'abc'],
    ['--pace', '0'],
    ['--pace', '1e9'],
  ])('refuses %s %s', async (option, value) => {
    const { code, err } = await peelside(['serve', option, value, '--data', scratch(), '--no-open']);
    expect(code).toBe(1);
    expect(isOneSentence(err)).toBe(true);
  });

  it('plays a recording at its pace, marked as a rehearsal, with pause and seek', async () => {
    const server = await startServer(['--play', fixture('good-evening'), '--pace', '1000']);
    expect(server.lines.join('\n')).toMatch(/REHEARSAL/);
    const { body } = await call(server.url, 'POST', '/api/rehearsal', { do: 'pause' });
    expect(body['rehearsal']).toMatchObject({ pace: 1000, paused: true });
    const sought = (await call(server.url, 'POST', '/api/rehearsal', { do: 'seek', t: 3000 })).body;
    expect(sought['t']).toBe(3000);
    expect(sought['rate']).toBe(0);
    expect(
      (await call(server.url, 'POST', '/api/rehearsal', { do: 'start', file: '../package' })).status,
    ).toBe(404);
    expect((await call(server.url, 'POST', '/api/rehearsal', { do: 'leave' })).body['cook']).toBeNull();
  });
});

describe('peelside plan', () => {
  it("answers the documented evening, from stdin, with baker's masses and steps in time order", async () => {
    const evening = {
      serveAt: '2026-05-02T19:00:00Z',
      pizzas: 6,
      ballGrams: 255,
      hydration: 0.62,
      saltFraction: 0.025,
      yeast: 'instant',
      yeastFraction: 0.003,
      roomC: 21,
      flourC: 20,
      frictionC: 12,
      doughC: 25,
    };
    const { code, out } = await peelside(['plan'], JSON.stringify(evening));
    expect(code).toBe(0);
    const plan = JSON.parse(out) as {
      dough: Record<string, number>;
      waterC: number;
      steps: { at: string; step: string }[];
    };
    // Baker's percentages: 6 × 255 g at 62 %, 2.5 % and 0.3 %.
    expect(plan.dough['flourGrams']).toBeCloseTo(928.4, 0);
    expect(plan.dough['totalGrams']).toBeCloseTo(1530, 0);
    // The bakers' rule T_w = 3·25 − 20 − 21 − 12 = 22 °C (common practice) and the heat balance agree here.
    expect(Math.abs(plan.waterC - 22)).toBeLessThan(1);
    const times = plan.steps.map((step) => Date.parse(step.at));
    expect(times).toEqual([...times].sort((a, b) => a - b));
    const launches = plan.steps.filter((step) => step.step === 'launch');
    expect(launches).toHaveLength(6);
    expect(Date.parse(launches[0]?.at ?? '')).toBeLessThanOrEqual(Date.parse(evening.serveAt));
  });

  it.each([
    ['what is no JSON', 'dough', /JSON/],
    ['a serving time without a zone', '{"serveAt":"tonight","pizzas":2}', /serveAt/],
    ['no number of pizzas', '{"serveAt":"2026-05-02T19:00:00Z"}', /pizzas/],
  ])('refuses %s in one sentence', async (_what, text, says) => {
    const { code, err } = await peelside(['plan'], text);
    expect(code).toBe(1);
    expect(err).toMatch(says);
    expect(err.trim().split('\n')).toHaveLength(1);
  });
});

describe('peelside', () => {
  it('names its commands when it gets one that it does not know', async () => {
    const { code, err } = await peelside(['fry']);
    expect(code).toBe(1);
    expect(err).toMatch(/There is no command "fry": use one of serve, pair, analyse/);
    expect((await peelside(['--help'])).out).toMatch(/analyse FILE/);
  });

  it('has a doctor that says what it looked at', async () => {
    const { out } = await peelside(['doctor', '--data', scratch(), '--port', '1']);
    expect(out).toMatch(/data folder/);
    expect(out).toMatch(/clock/);
  });
});
