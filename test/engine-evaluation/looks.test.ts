import { expect, test } from 'vitest';
import { variedCases } from './case-bank.ts';
import { answeredLines } from './engine-lines.ts';

test('given someone who looks when asked, the stone is looked at in time after each request while no pizza lies there', () => {
  const [asked] = [...variedCases('tune', 1, { every: 900, dial: false, answers: true })];
  if (!asked) throw new Error('The bank is empty.');
  const { lines, looks } = answeredLines(asked);
  const planned = asked.lines.filter((line) => 'channel' in line && line.channel === 'stone');
  const requests = lines.flatMap((line) =>
    line.type === 'alert' && line.alert === 'look-due' && !asked.truth.onStone[Math.floor(line.t) + 90]
      ? [line.t]
      : [],
  );
  expect(requests.length).toBeGreaterThan(0);
  expect(looks.length).toBeGreaterThan(planned.length);
  expect(looks).toEqual(looks.toSorted((a, b) => a - b));
  for (const t of requests.slice(0, 3)) expect(looks.some((at) => at >= t + 20 && at <= t + 90)).toBe(true);
});
