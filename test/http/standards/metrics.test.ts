import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { beforeAll, expect, it } from 'vitest';
import { exposition } from '../../../server/http/metrics/exposition.ts';
import { openApi, type Api } from '../../support/api.ts';
import { grammarOf } from './grammar.ts';
import { forAll } from '../../support/property.ts';

/**
 * The parser takes the first alternative that fits and never looks back: of the published grammar the one of
 * `realnumber` that the next one contains is left out, which changes no text that it describes.
 */
const published = readFileSync(
  new URL('../../../fixtures/grammars/openmetrics-1.0.0.abnf', import.meta.url),
  'utf8',
);
const grammar = grammarOf(
  published.replace(/^realnumber = \[SIGN\] 1\*DIGIT\n/m, '').replace('realnumber =/', 'realnumber ='),
);
const wrong = (text: string): string | null => grammar.wrong('exposition', text);

let api: Api;
beforeAll(async () => {
  api = await openApi();
});

/** Samples by their names and labels. */
const samplesOf = (text: string): Map<string, number> =>
  new Map(
    text
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'))
      .map((line) => [line.slice(0, line.lastIndexOf(' ')), Number(line.slice(line.lastIndexOf(' ') + 1))]),
  );

/** Beside the grammar: OpenMetrics 1.0.0 "MetricFamily metadata", "Counter", "StateSet", "Info". */
function isOrderly(text: string): void {
  const names = [...text.matchAll(/^# TYPE (\S+) /gm)].map((match) => match[1] ?? '');
  expect(new Set(names).size).toBe(names.length);
  for (const [, name = '', unit = ''] of text.matchAll(/^# UNIT (\S+) (\S+)$/gm))
    expect(name.endsWith(`_${unit}`), name).toBe(true);
  let family = '';
  for (const line of text.split('\n')) {
    family = /^# TYPE (\S+)/.exec(line)?.[1] ?? family;
    if (line !== '' && !line.startsWith('#')) expect(line.startsWith(family), line).toBe(true);
  }
  for (const [sample] of samplesOf(text))
    if (/_(total|info)\b/.test(sample)) expect(names).not.toContain(sample);
}

it('given the published example and texts that break its rules, the grammar tells them apart', () => {
  const good =
    '# TYPE foo_seconds counter\n# UNIT foo_seconds seconds\n# HELP foo_seconds Some \\n \\" words.\nfoo_seconds_total{path="/api/v1",method="GET"} 4.20072246e+06\nfoo_seconds_total 17\n# EOF\n';
  expect(wrong(good)).toBeNull();
  for (const [from, to] of [
    ['# EOF\n', ''],
    ['counter', 'counts'],
    ['# TYPE', '#TYPE'],
    ['"GET"', 'GET'],
    ['\n# UNIT', '\r\n# UNIT'],
    ['} 4.2', '}  4.2'],
    ['\\"', '"'],
  ] as const)
    expect(wrong(good.replace(from, to)), to).not.toBeNull();
});

it('given no cook, asked, says how the server does, in the right type and by the grammar', async () => {
  const { status, type, text } = await api.ask('GET', '/metrics');
  expect(status).toBe(200);
  expect(type).toBe('application/openmetrics-text; version=1.0.0; charset=utf-8');
  expect(wrong(text)).toBeNull();
  isOrderly(text);
  const samples = samplesOf(text);
  expect(samples.get('peelside_cook_running')).toBe(0);
  expect(samples.get('peelside_build_info{version="0.0.0"}')).toBe(1);
  expect(samples.get('process_resident_memory_bytes')).toBeGreaterThan(1e6);
  expect([...samples.keys()].some((name) => name.startsWith('peelside_channel'))).toBe(false);
});

it('given a cook, asked, has its temperatures, rates, ages and states as the live document has them', async () => {
  for (let i = 0; i < 90; i++) {
    api.clock.at += 2000;
    await api.ask('POST', '/api/readings', {
      readings: [
        { channel: 'stone', celsius: 200 + i / 2 },
        { channel: 'dome', celsius: 240.5 },
      ],
    });
  }
  api.clock.at += 1500;
  const { text } = await api.ask('GET', '/metrics');
  expect(wrong(text)).toBeNull();
  isOrderly(text);
  const samples = samplesOf(text);
  const stone = '{channel="stone",role="stone"}';
  expect(samples.get(`peelside_channel_celsius${stone}`)).toBe(244.5);
  expect(samples.get('peelside_channel_celsius{channel="dome",role="dome"}')).toBe(240.5);
  expect(samples.get(`peelside_channel_age_seconds${stone}`)).toBe(1.5);
  const [channel] = (await api.ask('GET', '/api/now')).body['channels'] as { perMinute: number }[];
  expect(samples.get(`peelside_channel_rate_celsius_per_minute${stone}`)).toBeCloseTo(
    channel?.perMinute ?? 0,
    1,
  );
  const state = api.session.now().state;
  const states = [...samples].filter(([name]) => name.startsWith('peelside_stone_state'));
  expect(states.filter(([, value]) => value === 1)).toEqual([
    [`peelside_stone_state{peelside_stone_state="${state}"}`, 1],
  ]);
  expect(states).toHaveLength(9);
});

it('given any names, written as labels, are by the grammar and read back', () => {
  forAll({ numRuns: 300 }, fc.string({ unit: 'binary' }), fc.double({ noNaN: false }), (name, value) => {
    const samples = [{ labels: { channel: name }, value }];
    expect(wrong(exposition([{ name: 'x', type: 'gauge', help: name, samples }])), name).toBeNull();
  });
});

it('given a rehearsal, asked, is as if there were no cook: nothing in it is measured', async () => {
  const other = await openApi();
  await other.session.rehearse('good-evening', 20);
  const samples = samplesOf((await other.ask('GET', '/metrics')).text);
  expect(samples.get('peelside_cook_running')).toBe(0);
  expect([...samples.keys()].some((name) => name.startsWith('peelside_channel'))).toBe(false);
  await other.close();
});
