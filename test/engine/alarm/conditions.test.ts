import { describe, expect, it, test } from 'vitest';
import { ALERT_KINDS, ALERTS } from '../../../shared/alert/kinds.ts';
import type { EngineInput, EngineOutput } from '../../../shared/engine.ts';
import { engine, type EngineState } from '../../../server/engine/cook-engine.ts';
import { factsOf } from '../../../server/engine/estimate/facts.ts';
import { stoneReady } from '../../../server/engine/alarm/conditions/stone-ready.ts';
import { CONFIG, DOME, fresh, readings, run, STONE } from '../evening.ts';

const reading = (
  t: number,
  channel: string,
  celsius: number,
  quality: 'good' | 'uncertain' = 'good',
): EngineInput => ({
  kind: 'reading',
  t,
  channel,
  celsius,
  quality,
});
const calls = (outputs: readonly EngineOutput[]) =>
  outputs.flatMap((output) =>
    output.type === 'alert' ? [[output.alert, output.why['channel'], output.message]] : [],
  );

/** Stone every 25 s, dome every 2 s for as long as it speaks. */
const slowStone = (until: number, domeUntil: number): EngineInput[] => {
  const inputs: EngineInput[] = [];
  for (let t = 0; t <= until; t++) {
    if (t % 25 === 0) inputs.push(reading(t, 'stone', 200));
    if (t % 2 === 0 && t <= domeUntil) inputs.push(reading(t, 'dome', 240));
  }
  return inputs;
};

describe('an alert of a probe', () => {
  it('given a stone that speaks seldom and a dome that is silent, names the dome, whenever it fell silent', () => {
    for (let domeUntil = 300; domeUntil < 325; domeUntil += 2) {
      const outputs = run(engine.start(CONFIG), slowStone(600, domeUntil));
      const lost = calls(outputs).find(([alert]) => alert === 'probe-lost');
      expect(lost).toEqual([
        'probe-lost',
        'dome',
        expect.stringMatching(/^No reading from dome for 1\d\d s/),
      ]);
    }
  });

  it('given a stone that is doubtful now and then and a dome that is all the time, names the dome', () => {
    const inputs: EngineInput[] = [];
    for (let t = 0; t <= 300; t += 2) {
      inputs.push(reading(t, 'stone', 200, t > 100 && t % 8 < 6 ? 'uncertain' : 'good'));
      inputs.push(reading(t + 1, 'dome', 240, t > 100 ? 'uncertain' : 'good'));
    }
    const doubtful = calls(run(engine.start(CONFIG), inputs)).filter(([alert]) => alert === 'probe-doubtful');
    expect(doubtful).toEqual([['probe-doubtful', 'dome', expect.stringContaining('dome')]]);
  });
});

/** A stone that is ready under a dome that speaks each second; the stone is silent from `from` to `to`. */
function silentStone(from: number, to: number, until: number, stone = 268): EngineInput[] {
  const inputs: EngineInput[] = [];
  for (let t = 0; t <= until; t++) {
    inputs.push(reading(t, 'dome', Math.min(265, 20 + t / 4)));
    if (t % 2 === 0 && (t < from || t >= to)) inputs.push(reading(t, 'stone', Math.min(stone, 20 + t / 8)));
  }
  return inputs;
}

describe('a probe that is silent', () => {
  const lostAt = (outputs: readonly EngineOutput[]): number[] =>
    outputs.flatMap((output) =>
      output.type === 'alert' && output.alert === 'probe-lost' && output.again === undefined
        ? [output.t]
        : [],
    );

  test.each([
    [268, 40],
    [200, 125],
  ])('given a stone of %d °C, it is called lost within %d s', (celsius, within) => {
    const outputs = run(engine.start(CONFIG), silentStone(2600, 3000, 2900, celsius));
    const [at] = lostAt(outputs);
    expect(at).toBeGreaterThan(2620);
    expect(at).toBeLessThanOrEqual(2600 + within);
  });

  it('given that its readings are back, leaves no alert behind', () => {
    const state = engine.start(CONFIG);
    expect(lostAt(run(state, silentStone(2600, 3000, 3020)))).toHaveLength(1);
    expect(engine.view(state).alerts.map(({ alert }) => alert)).not.toContain('probe-lost');
  });

  it('given that somebody looks at the stone instead, is no longer called lost', () => {
    const state = engine.start(CONFIG);
    const look: EngineInput = {
      kind: 'reading',
      t: 2901,
      channel: 'stone',
      celsius: 268,
      quality: 'good',
      isLook: true,
    };
    run(state, [...silentStone(2600, 4000, 2900), look]);
    for (let t = 2902; t < 2912; t++) run(state, [reading(t, 'dome', 265)]);
    expect(engine.view(state).alerts.map(({ alert }) => alert)).not.toContain('probe-lost');
  });
});

describe('a call to launch', () => {
  const calledIn = (state: EngineState): string | undefined =>
    engine.view(state).alerts.find(({ alert }) => alert === 'stone-ready')?.state;

  it('given a launch that nobody tapped, ends as soon as it is noticed', () => {
    const state = engine.start(CONFIG);
    let before: string | undefined;
    const noticing = readings(STONE, DOME).find((input) => {
      before = calledIn(state);
      return engine
        .step(state, input)
        .some((output) => output.type === 'noticed' && output.event === 'launch');
    });
    expect(noticing).toBeDefined();
    expect(before).toBe('unacknowledged');
    expect(calledIn(state)).toBeUndefined();
  });
});

describe('a stone and a dome whose probes fall silent', () => {
  const STONE_RESTED = ['stone-ready', 'overshoot-ahead', 'overshot', 'fire-fading'];
  const untilSilent = (stone: number): EngineInput[] => silentStone(2600, 3000, 2600, stone);
  const tick = (t: number): EngineInput => ({ kind: 'tick', t });

  it('given that the stone was called ready, it is called lost, and not ready any more', () => {
    const state = engine.start(CONFIG);
    expect(calls(run(state, untilSilent(268))).map(([alert]) => alert)).toContain('stone-ready');
    const after = run(state, [tick(2645)]);
    expect(calls(after)).toContainEqual(['probe-lost', 'stone', expect.any(String)]);
    expect(engine.view(state)).toMatchObject({ state: 'blind', channels: { stone: { celsius: null } } });
    run(state, [{ kind: 'event', t: 2646, event: { event: 'acknowledge', alert: 'probe-lost' } }]);
    const later = run(state, [tick(3200)]);
    expect(calls(later).filter(([alert]) => STONE_RESTED.includes(alert as string))).toEqual([]);
    expect(engine.view(state).alerts.map(({ alert, state: is }) => [alert, is])).toEqual([
      ['probe-lost', 'acknowledged'],
    ]);
  });

  it('given that the stone was too hot, orders nothing of the vents', () => {
    const state = engine.start(CONFIG);
    expect(calls(run(state, untilSilent(300))).map(([alert]) => alert)).toContain('overshot');
    run(state, [tick(2660)]);
    expect(engine.view(state).alerts.filter(({ alert }) => STONE_RESTED.includes(alert))).toEqual([]);
  });

  it('given that somebody then looks at the stone, it is known again', () => {
    const state = engine.start(CONFIG);
    run(state, [...untilSilent(268), tick(2700)]);
    const look = { kind: 'reading', t: 2701, channel: 'stone', celsius: 266, quality: 'good' } as const;
    run(state, [{ ...look, isLook: true }]);
    expect(engine.view(state).state).not.toBe('blind');
    expect(engine.view(state).channels['stone']?.celsius).toBeCloseTo(266, -1);
  });
});

describe('a warning that the stone will be too hot', () => {
  it('given that it has become so, is over as soon as that is called', () => {
    const inputs: EngineInput[] = [];
    for (let t = 0; t <= 3600; t += 2) {
      inputs.push(reading(t, 'dome', Math.min(390, 20 + t / 4)));
      inputs.push(reading(t, 'stone', 20 + t / 12));
    }
    const state = engine.start(CONFIG);
    const outputs = run(state, inputs);
    const shotAt = outputs.find((output) => output.type === 'alert' && output.alert === 'overshot')?.t;
    const ended = outputs.find(
      (output) =>
        output.type === 'alert-state' && output.alert === 'overshoot-ahead' && output.t >= (shotAt ?? 0),
    );
    expect(shotAt).toBeDefined();
    expect(ended).toMatchObject({ t: shotAt, state: 'normal' });
    expect(engine.view(state).alerts.map(({ alert }) => alert)).not.toContain('overshoot-ahead');
  });
});

describe('a call that the stone is too hot', () => {
  const callsUnder = (celsius: number) =>
    calls(
      run(fresh(), readings({ 0: 240, 900: 310, 1500: 340, 4500: celsius }, { 0: 260, 4500: 260 })),
    ).filter(([alert]) => alert === 'overshot');
  it('given that it stays so and nobody answers, sounds again', () => {
    expect(callsUnder(340)).toHaveLength(2);
  });
  it('given that it comes down, does not sound again', () => {
    expect(callsUnder(288)).toHaveLength(1);
  });
});

describe('a call that the stone is ready', () => {
  it('given a stone that is about to climb by more than it may while it is steady, waits', () => {
    const state = fresh();
    run(state, readings({ 0: 262, 600: 262 }, { 0: 262, 600: 262 }));
    const facts = factsOf(state, 600);
    expect(stoneReady).toHaveProperty('evaluate');
    if (!('evaluate' in stoneReady) || !state.forecast) return;
    expect(stoneReady.evaluate(state, facts)).toMatchObject({ stone: 262 });
    const climb = (perMinute: number) =>
      (state.forecast?.curves.stone ?? []).map((point, i) => ({ ...point, celsius: 262 + perMinute * i }));
    const { forecast } = state;
    const { dome } = forecast.curves;
    state.forecast = { ...forecast, curves: { stone: climb(5), dome } };
    expect(stoneReady.evaluate(state, facts)).toMatchObject({ stone: 262 });
    state.forecast = { ...forecast, curves: { stone: climb(7), dome } };
    expect(stoneReady.evaluate(state, facts)).toBe('between');
  });
});

describe('an alert that was silenced before it was so', () => {
  it('given that it is so by then, says when it is no longer silenced what it is about', () => {
    const state = engine.start(CONFIG);
    run(state, [
      { kind: 'event', t: 0, event: { event: 'shelve', alert: 'dome-too-hot', seconds: 3600 } },
      ...slowStone(60, 60).map((input) =>
        input.kind === 'reading' && input.channel === 'dome' ? { ...input, celsius: 400 } : input,
      ),
      { kind: 'event', t: 61, event: { event: 'unshelve', alert: 'dome-too-hot' } },
    ]);
    expect(engine.view(state).alerts.map(({ alert, message }) => [alert, message])).toEqual([
      ['dome-too-hot', 'Dome 400 °C, over this grill’s limit of 370 °C: close the vents.'],
    ]);
  });
});

it('the list of alerts has each alert once', () => {
  expect(Object.keys(ALERT_KINDS).sort()).toEqual([...ALERTS].sort());
});
