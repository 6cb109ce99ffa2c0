import { describe, expect, it } from 'vitest';
import { ALERT_KINDS } from '../../../shared/alert/kinds.ts';
import type { EngineInput, EngineOutput } from '../../../shared/engine.ts';
import { ALERTS } from '../../../shared/alert/kinds.ts';
import { engine } from '../../../server/engine/engine.ts';
import { CONFIG, run } from '../evening.ts';

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

describe('the list of alerts', () => {
  it('has each alert once', () => {
    expect(Object.keys(ALERT_KINDS).sort()).toEqual([...ALERTS].sort());
  });
});
