import type { EngineInput } from '../../../shared/engine.ts';
import { engine } from '../../../server/engine/cook-engine.ts';
import { factsOf } from '../../../server/engine/estimate/facts.ts';
import { forecastOf } from '../../../server/engine/forecast/forecast.ts';
import { calibration } from '../bare/bare-loop.ts';
import { median, seconds, type Bench } from '../bench.ts';

const CHANNELS = [
  { id: 'stone', role: 'stone' },
  { id: 'dome', role: 'dome' },
  { id: 'firebox', role: 'other' },
  { id: 'room', role: 'other' },
] as const;
const HOURS = 8;
/** The input after 6 h: by then the list of what came off, kept for undo, is full. */
const LATE = CHANNELS.length * 6 * 3600;

/** A climb, then a stone that is held and dips every quarter of an hour; four channels at 1 Hz. */
function inputs(): EngineInput[] {
  const all: EngineInput[] = [];
  for (let t = 0; t < HOURS * 3600; t++) {
    const stone = 20 + 250 * (1 - Math.exp(-t / 1500)) - (t % 900 < 200 && t > 5000 ? 20 : 0);
    const noise = ((t * 7919) % 13) / 13 - 0.5;
    const at = [stone + noise, stone + 5 - noise, 400 + noise, 20 + noise];
    CHANNELS.forEach(({ id }, i) =>
      all.push({ kind: 'reading', t, channel: id, celsius: at[i] ?? 0, quality: 'good' }),
    );
  }
  return all;
}

const started = () => engine.start({ channels: CHANNELS, targets: { stone: [255, 285] } });

export const engineBench: Bench = {
  name: 'engine',
  run() {
    const all = inputs();
    const took = seconds(() => {
      const state = started();
      for (const input of all) engine.step(state, input);
    }, 3);
    const state = started();
    const sizes = all.map((input, i) => {
      engine.step(state, input);
      return i === LATE || i === all.length - 1 ? JSON.stringify(state).length : 0;
    });
    const early = state.channels.length > 0 ? (sizes[LATE] ?? 1) : 1;
    const step = calibration();
    const forecasts = Array.from({ length: 400 }, () => {
      const facts = factsOf(state, state.t);
      const start = performance.now();
      forecastOf(state, facts);
      return performance.now() - start;
    });
    return [
      {
        name: 'engine, an update, against a step of a bare loop',
        value: ((took / all.length) * 1e6) / step,
        unit: '×',
        budget: { most: 500 },
      },
      { name: 'engine, an update', value: (took / all.length) * 1e6, unit: 'µs' },
      {
        name: 'engine, a full forecast, median, against a step of a bare loop',
        value: (median(forecasts) * 1000) / step,
        unit: '×',
        budget: { most: 5000 },
      },
      { name: `engine, ${HOURS} h of 4 channels at 1 Hz`, value: (HOURS * 3600) / took, unit: '× real time' },
      {
        name: 'engine, state after 8 h beside after 6 h',
        value: (sizes.at(-1) ?? 0) / early,
        unit: '×',
        budget: { most: 1.1 },
      },
    ];
  },
};
