import { describe, expect, test } from 'vitest';
import type { EngineOutput, WhatIf } from '../../../shared/engine.ts';
import { engine, type EngineState } from '../../../server/engine/cook-engine.ts';
import { domeIfShut } from '../../../server/engine/advice/response.ts';
import { bankCook } from '../../engine-evaluation/cooks.ts';
import { cook } from '../../simulator/cook.ts';
import { createCore } from '../../../server/core/core.ts';
import { bundledRecording } from '../../support/session.ts';
import { probed, startIn } from '../evening.ts';

/** A fire that nobody touches and that goes over: both probes read each 2 s. */
const { plan } = bankCook(5);
const truth = cook({ ...plan, person: { ...plan.person, habit: 'never', opening: 1, pizzas: 0, peeks: 0 } });
const [low, high] = truth.stoneBand;
const passes = truth.stone.findIndex((celsius) => celsius > high);

function warmUp(until: number, each: (state: EngineState, outputs: EngineOutput[]) => void): EngineState {
  const state = startIn([low, high]);
  for (const input of probed(truth, until)) each(state, engine.step(state, input));
  return state;
}

describe('a stone that will go over', () => {
  const all: WhatIf[] = [];
  const outputs: EngineOutput[] = [];
  warmUp(passes, (state, output) => {
    outputs.push(...output);
    const { whatIf } = engine.view(state);
    if (whatIf && whatIf !== all.at(-1)) all.push(whatIf);
  });

  test('given any moment before, the sooner the vents are shut the lower its highest', () => {
    expect(all.length).toBeGreaterThan(20);
    for (const { asItIs, shut, shutLater } of all) {
      expect(shut.highest.celsius).toBeLessThanOrEqual(shutLater.highest.celsius + 0.01);
      expect(shutLater.highest.celsius).toBeLessThanOrEqual(asItIs.highest.celsius + 0.01);
    }
  });

  test('given any moment, under a hotter dome it ends hotter and is in its band no later', () => {
    for (const { held } of all.slice(-40)) {
      expect(held.length).toBeGreaterThanOrEqual(5);
      held.slice(1).forEach((hotter, i) => {
        const cooler = held[i];
        expect(hotter.dome).toBeGreaterThan(cooler?.dome ?? Infinity);
        expect(hotter.ends).toBeGreaterThan(cooler?.ends ?? Infinity);
        if (hotter.bandAt !== null && cooler?.bandAt)
          expect(hotter.bandAt).toBeLessThanOrEqual(cooler.bandAt);
      });
    }
  });

  test('given the warning, it says for how long shutting is enough, or that it is not, with the peaks', () => {
    const warning = outputs.find((output) => output.type === 'alert' && output.alert === 'overshoot-ahead');
    if (warning?.type !== 'alert') throw new Error('no warning');
    const { shutNow, shutLater, later, until } = warning.why;
    expect(Number(shutLater)).toBeGreaterThanOrEqual(Number(shutNow));
    expect(warning.message).toContain(
      `Shut now it peaks at ${shutNow} °C, in ${later} min at ${shutLater} °C.`,
    );
    expect(warning.message).toContain(
      until === undefined ? 'Close the vents now:' : `Close the vents within ${until} min:`,
    );
  });

  test('given a moment at which shutting is still enough, a minute after `until` it is not', () => {
    const some = all.filter(({ until }) => until !== null && until > 0);
    expect(some.length).toBeGreaterThan(0);
    for (const { shut, asItIs } of some) {
      expect(shut.overAt).toBeNull();
      expect(asItIs.overAt).not.toBeNull();
    }
  });
});

test('given a dome that neither climbs nor falls, shut, it stays for 8 min and then falls to 150 °C by e in 25 min', () => {
  expect(domeIfShut(270, 0, 8)).toBe(270);
  expect(domeIfShut(270, 0, 33)).toBeCloseTo(150 + 120 * Math.exp(-1), 9);
  // one that climbs 4 °C/min, less and less for 8 min: 16 °C more
  expect(domeIfShut(270, 4, 8)).toBeCloseTo(286, 9);
});

test('given a pizza on the stone, nothing is said of it', () => {
  const state = warmUp(passes, () => {});
  engine.step(state, { kind: 'event', t: passes, event: { event: 'launch' } });
  expect(engine.view(state).whatIf).toBeNull();
});

test.each(['bad-probe', 'good-evening', 'runaway'])(
  'given the recording %s, no overshoot warning says that shutting later peaks lower',
  (name) => {
    const { header, lines } = bundledRecording(name);
    const core = createCore(header);
    const warnings = lines
      .flatMap((line) => core.line(line).outputs)
      .flatMap((output) =>
        output.type === 'alert' && output.alert === 'overshoot-ahead' && 'shutNow' in output.why
          ? [output.why]
          : [],
      );
    expect(warnings.length).toBeGreaterThan(0);
    for (const { shutNow, shutLater } of warnings)
      expect(Number(shutLater)).toBeGreaterThanOrEqual(Number(shutNow));
  },
);
