import { describe, expect, test } from 'vitest';
import type { EngineInput, EngineOutput } from '../../shared/engine.ts';
import { engine, type EngineState } from '../../server/engine/cook-engine.ts';
import { coveredOf } from '../../server/engine/heat/hypotheses.ts';
import { cook } from '../simulator/cook.ts';
import { bankCook } from '../engine-evaluation/cooks.ts';
import { alertsOf, fresh, run, startIn } from './evening.ts';

/** A cook of the bank up to its first launch, its dome measured each 2 s and its stone looked at every 5 min. */
const { plan } = bankCook(0);
const truth = cook(plan);
const launch = truth.actions.find((act) => act.do === 'launch')?.t ?? truth.duration;
const good = { kind: 'reading', quality: 'good' } as const;

function evening(
  until: number,
  dome: 'measured' | 'dial',
  look = (celsius: number, _t: number) => celsius,
): EngineInput[] {
  const inputs: EngineInput[] = [];
  for (let t = 0; t < until; t += 2) {
    const celsius = truth.dome[t] ?? 0;
    if (dome === 'measured') inputs.push({ ...good, t, channel: 'dome', celsius });
    if (t % 300 === 298) {
      inputs.push({
        ...good,
        t,
        channel: 'stone',
        celsius: look(Math.round(truth.stone[t] ?? 0), t),
        isLook: true,
      });
      if (dome === 'dial')
        inputs.push({
          ...good,
          t: t + 1,
          channel: 'dome',
          celsius: 5 * Math.round(celsius / 5),
          isLook: true,
        });
    }
  }
  return inputs;
}
const begin = (): EngineState => startIn(truth.stoneBand);
const errorsOf = (outputs: readonly EngineOutput[]): number[] =>
  outputs.flatMap((output) =>
    output.type === 'forecast' && output.t > 900 && output.stone !== null
      ? [Math.abs(output.stone - (truth.stone[Math.round(output.t)] ?? 0))]
      : [],
  );
const quantile = (values: readonly number[], share: number): number =>
  values.toSorted((a, b) => a - b)[Math.floor(share * values.length)] ?? NaN;

describe('a stone that is only looked at, every 5 min', () => {
  test.each([
    ['measured', 2.5, 9],
    ['dial', 5, 16],
  ] as const)(
    'under a dome that is %s is known to %f °C at the median, %f °C nine times of ten',
    (dome, median, most) => {
      const errors = errorsOf(run(begin(), evening(launch, dome)));
      expect(errors.length).toBeGreaterThan(50);
      expect(quantile(errors, 0.5)).toBeLessThan(median);
      expect(quantile(errors, 0.9)).toBeLessThan(most);
    },
  );

  test('has no probe to be lost, is not blind once it was looked at, and is called likely ready', () => {
    const outputs = run(begin(), evening(launch, 'measured'));
    expect(alertsOf(outputs)).not.toContain('probe-lost');
    const states = outputs.flatMap((output) => (output.type === 'state' ? [output] : []));
    expect(states.filter(({ t, state }) => state === 'blind' && t > 310)).toEqual([]);
    const ready = outputs.find((output) => output.type === 'alert' && output.alert === 'stone-ready');
    expect(ready?.type === 'alert' && ready.message).toMatch(/^Likely ready: .* look/);
  });

  test('is asked for a look, at most once in 4 min, only while nothing measures it', () => {
    const outputs = run(begin(), evening(launch, 'measured'));
    const asked = outputs.flatMap((output) =>
      output.type === 'alert' && output.alert === 'look-due' ? [output.t] : [],
    );
    expect(asked.length).toBeGreaterThan(0);
    asked.forEach((t, i) => expect(t - (asked[i - 1] ?? -1e3)).toBeGreaterThanOrEqual(240));
    const measured = run(
      fresh(),
      evening(launch, 'measured').map((input) => ({ ...input, isLook: undefined })) as EngineInput[],
    );
    expect(alertsOf(measured.filter(({ t }) => t > 4000))).not.toContain('look-due');
  });

  test('given a dome as hot as it has to be and no look yet, is asked for one, and for no other right after it', () => {
    const state = begin();
    const unseen = evening(launch, 'measured').filter((input) => input.kind !== 'reading' || !input.isLook);
    const hot = unseen.find((input) => input.kind === 'reading' && (input.celsius ?? 0) > truth.stoneBand[0]);
    const until = (hot?.t ?? launch) + 60;
    const asked = run(
      state,
      unseen.filter(({ t }) => t < until),
    ).filter((output) => output.type === 'alert' && output.alert === 'look-due');
    expect(asked.map((output) => output.type === 'alert' && output.message)).toEqual([
      expect.stringMatching(/^Look at the stone: the dome is at \d+ °C\.$/),
    ]);
    const look = {
      ...good,
      t: until,
      channel: 'stone',
      celsius: truth.stone[until] ?? 0,
      isLook: true,
    } as const;
    const after = run(state, [look, ...unseen.filter(({ t }) => t > until && t < until + 120)]);
    expect(alertsOf(after)).not.toContain('look-due');
  });

  test.each([
    ['nobody who ever looks', 0],
    ['somebody who looks no more once the stone is near', 1500],
  ])('given %s, requests lapse, come more rarely and say so', (_who, until) => {
    const moves: { t: number; state: string; message: string }[] = [];
    const inputs = evening(truth.duration, 'measured').filter(
      (input) => input.kind !== 'reading' || !input.isLook || input.t < until,
    );
    for (const output of run(begin(), inputs)) {
      if (output.type === 'alert' && output.alert === 'look-due')
        moves.push({ t: output.t, state: 'raised', message: output.message });
      if (output.type === 'alert-state' && output.alert === 'look-due')
        moves.push({ t: output.t, state: output.state, message: '' });
    }
    const asked = moves.filter(({ state }) => state === 'raised');
    const gaps = asked.slice(1).map(({ t }, i) => t - (asked[i]?.t ?? 0));
    expect(asked.length).toBeGreaterThan(1);
    expect(asked.length).toBeLessThan(6);
    expect(Math.max(...gaps)).toBeGreaterThan(900);
    asked.forEach(({ t }) => {
      const end = moves.find((move) => move.t > t && move.state !== 'raised')?.t ?? truth.duration;
      expect(end - t).toBeLessThanOrEqual(605);
    });
    expect(asked.at(-1)?.message).toMatch(/no look for \d+ min|may pass|ready in/);
  });

  test('says where its estimate comes from', () => {
    const state = begin();
    run(state, evening(1500, 'measured'));
    const stone = engine.view(state).channels['stone'];
    expect(stone).toMatchObject({ isEstimate: true, lookedAt: 1498 });
    expect(Math.abs((stone?.celsius ?? 0) - (truth.stone[1499] ?? 0))).toBeLessThan(5);
  });

  test('a look at the peel is asked about and not believed; said twice it is', () => {
    const state = begin();
    const peel = (celsius: number, t: number): number => (t === 1498 ? 60 : celsius);
    const outputs = run(state, evening(1520, 'measured', peel));
    outputs.push(
      ...run(
        state,
        evening(1790, 'measured').filter(({ t }) => t >= 1520),
      ),
    );
    const asked = outputs.flatMap((output) =>
      output.type === 'alert' && output.alert === 'look-due' ? [output.message] : [],
    );
    expect(asked.join('\n')).toMatch(/^Look again: 60 °C is below what the stone should be, by \d+ °C/m);
    const believed = (): number => engine.view(state).channels['stone']?.celsius ?? 0;
    expect(Math.abs(believed() - (truth.stone[1789] ?? 0))).toBeLessThan(8);
    run(state, [{ ...good, t: 1791, channel: 'stone', celsius: 62, isLook: true }]);
    expect(Math.abs(believed() - 62)).toBeLessThan(15);
  });

  test('given two looks that are not believed within 4 min, each is asked about, and neither counts as the last look', () => {
    const state = begin();
    const wrong = (t: number, celsius: number): EngineInput => ({
      ...good,
      t,
      channel: 'stone',
      celsius,
      isLook: true,
    });
    const dome = evening(1600, 'measured').filter((input) => input.kind === 'reading' && !input.isLook);
    const looks = evening(1490, 'measured').filter((input) => input.kind === 'reading' && input.isLook);
    const outputs = run(
      state,
      [...dome, ...looks, wrong(1498, 60), wrong(1560, 390)].sort((a, b) => a.t - b.t),
    );
    const asked = outputs.flatMap((output) =>
      output.type === 'alert' && output.message.startsWith('Look again') ? [output.t] : [],
    );
    expect(asked).toEqual([expect.closeTo(1500, -1), expect.closeTo(1562, -1)]);
    expect(engine.view(state).channels['stone']?.lookedAt).toBe(1198);
  });

  test('readings that come minutes apart are looks, whatever sent them', () => {
    const sent = evening(1500, 'measured').map((input) =>
      input.kind === 'reading'
        ? { ...good, t: input.t, channel: input.channel, celsius: input.celsius }
        : input,
    );
    const state = begin();
    expect(alertsOf(run(state, sent))).not.toContain('probe-lost');
    expect(engine.view(state).channels['stone']?.isEstimate).toBe(true);
  });

  test('a pizza that nobody saw is found by the next look, and the stone is known again', () => {
    const state = begin();
    const inputs = evening(launch, 'dial');
    run(state, inputs);
    const before = engine.view(state).channels['stone']?.celsius ?? 0;
    const seen = (t: number, celsius: number): EngineInput => ({
      ...good,
      t: launch + t,
      channel: 'stone',
      celsius,
      isLook: true,
    });
    run(state, [seen(10, Math.round(before)), seen(560, Math.round(before) - 40)]);
    const stone = engine.view(state).channels['stone'];
    expect(Math.abs((stone?.celsius ?? 0) - (before - 40))).toBeLessThan(4);
    expect(state.takenOff.length).toBeGreaterThan(0);
    expect(engine.view(state).state).not.toBe('baking');
  });

  test('how sure it is that the stone lies free in its band fades from look to look where no lid would be seen', () => {
    const state = begin();
    run(state, evening(launch, 'dial'));
    const middle = (truth.stoneBand[0] + truth.stoneBand[1]) / 2;
    for (const t of [0, 200, 400])
      run(state, [{ ...good, t: launch + t, channel: 'stone', celsius: middle, isLook: true }]);
    const free = (t: number): number => {
      engine.step(state, { kind: 'tick', t: launch + t });
      return 1 - coveredOf(state.tracker.hypotheses);
    };
    const [soon, later] = [free(430), free(700)];
    expect(soon).toBeGreaterThan(0.9);
    expect(later).toBeLessThan(soon - 0.2);
  });

  test('given a look above the band through the lid opened for it, what was called ready is hot at once and not called anew', () => {
    const state = begin();
    run(state, evening(launch, 'measured'));
    const [low, high] = truth.stoneBand;
    const look = (t: number, celsius: number): EngineInput => ({
      ...good,
      t: launch + t,
      channel: 'stone',
      celsius,
      isLook: true,
    });
    const dome = (from: number, to: number, at: (t: number) => number): EngineInput[] =>
      Array.from({ length: (to - from) / 2 }, (_, i) => from + 2 * i).map((t) => ({
        ...good,
        t: launch + t,
        channel: 'dome',
        celsius: at(t),
      }));
    const level = truth.dome[launch - 1] ?? 0;
    run(state, [look(1, (low + high) / 2), ...dome(2, 200, () => level)]);
    expect(engine.view(state).state).toBe('ready');
    run(
      state,
      dome(200, 216, (t) => level - 2 * (t - 200)),
    );
    expect(engine.view(state).lid).toBe('open');
    const after = run(state, [look(217, high + 8)]);
    expect(engine.view(state).state).toBe('hot');
    expect(alertsOf(after)).not.toContain('stone-ready');
  });

  test('given looks farther off than they should be, its error is wider than given looks that agree', () => {
    const errorAfter = (off: number): number => {
      const state = begin();
      run(
        state,
        evening(launch, 'measured', (celsius, t) => celsius + (Math.round(t / 300) % 2 ? off : -off)),
      );
      return engine.view(state).channels['stone']?.error ?? 0;
    };
    expect(errorAfter(9)).toBeGreaterThan(1.15 * errorAfter(0));
  });
});

test('given a look each second for half an hour, fits each of the first and then one a minute, and follows the stone', () => {
  const state = begin();
  let [fits, looks] = [0, 0];
  for (let t = 0; t < 2400; t++) {
    engine.step(state, { ...good, t, channel: 'dome', celsius: truth.dome[t] ?? 0 });
    if (t < 600) continue;
    const before = state.tracker.z;
    const celsius = truth.stone[t] ?? 0;
    engine.step(state, { ...good, t, channel: 'stone', celsius, isLook: true });
    if (state.tracker.z !== before) fits++;
    looks++;
  }
  expect(looks).toBe(1800);
  expect(fits).toBeLessThan(240);
  expect(state.tracker.history?.looks.length).toBeLessThanOrEqual((3 * looks) / 10);
  const { celsius } = engine.view(state).channels['stone'] ?? {};
  expect(Math.abs((celsius ?? 0) - (truth.stone[2399] ?? 0))).toBeLessThan(3);
});
