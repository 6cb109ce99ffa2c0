import type { EngineConfig, EngineInput, EngineOutput, GrillPrior } from '../../shared/engine.ts';
import type { CookEvent } from '../../shared/event.ts';
import { engine, type EngineState } from '../../server/engine/cook-engine.ts';
import { bankCook } from '../engine-evaluation/cooks.ts';
import { cook, type Truth } from '../simulator/cook.ts';
import { createRandom } from '../simulator/random.ts';
import { STONE_AND_DOME } from '../support/header.ts';

/** A small cook made by hand for tests: °C of stone and dome by straight pieces between corners, second by second. */
export type Corners = Readonly<Record<number, number>>;

function along(by: Corners, t: number): number {
  const corners = Object.entries(by).map(([at, celsius]) => [Number(at), celsius] as const);
  const found = corners.findIndex(([at]) => at >= t);
  const next = found < 0 ? corners.length - 1 : Math.max(1, found);
  const [t1, y1] = corners[next - 1] ?? [0, 0];
  const [t2, y2] = corners[next] ?? [t1, y1];
  return y1 + (y2 - y1) * Math.min(1, (t - t1) / (t2 - t1));
}

export const CONFIG: EngineConfig = {
  channels: STONE_AND_DOME,
  targets: { stone: [255, 285], dome: [235, 275], domeLimit: 370 },
};

/** The second of the last corner. */
export const endOf = (corners: Corners): number => Math.max(...Object.keys(corners).map(Number));

export type Sampling = { every: number; noise: number; seed: number };

/** What probes say of it. */
export function readings(
  stone: Corners,
  dome: Corners | null,
  { every, noise, seed }: Sampling = { every: 2, noise: 0.2, seed: 1 },
): EngineInput[] {
  const random = createRandom(seed);
  const inputs: EngineInput[] = [];
  const end = endOf(stone);
  const add = (t: number, channel: string, celsius: number): void =>
    void inputs.push({
      kind: 'reading',
      t,
      channel,
      celsius: celsius + noise * random.normal(),
      quality: 'good',
    });
  for (let t = 0; t <= end; t += every) {
    add(t, 'stone', along(stone, t));
    if (dome) add(t + every / 2, 'dome', along(dome, t + every / 2));
  }
  return inputs;
}

/** A climb, a launch with its lid, a turn, an off, and the recovery: 50 min. */
export const STONE: Corners = {
  0: 20,
  1200: 240,
  1500: 266,
  1800: 270,
  1806: 269,
  1810: 232,
  2000: 231,
  2010: 229,
  2250: 233,
  2258: 231,
  2300: 236,
  2500: 262,
  3000: 268,
};
export const DOME: Corners = {
  0: 20,
  600: 270,
  1800: 275,
  1830: 225,
  1900: 262,
  2000: 266,
  2025: 236,
  2090: 262,
  2250: 268,
  2275: 238,
  2350: 266,
  3000: 270,
};

export function run(state: EngineState, inputs: readonly EngineInput[]): EngineOutput[] {
  return inputs.flatMap((input) => engine.step(state, input));
}

/** A cook with stone and dome, of which only the band of the stone is set. */
export const startIn = (stone: readonly [number, number], more: Partial<EngineConfig> = {}): EngineState =>
  engine.start({ channels: STONE_AND_DOME, targets: { stone: [...stone] }, ...more });

/** What probes say of a cook of the simulator, each of them every `every` s. */
export function probed(truth: Truth, until: number, every = 2): EngineInput[] {
  const times = Array.from({ length: Math.ceil(until / every) }, (_, i) => i * every);
  return times.flatMap((t) =>
    (['stone', 'dome'] as const).map((channel) => {
      const celsius = truth[channel][t] ?? 0;
      return { kind: 'reading' as const, t, channel, celsius, quality: 'good' as const };
    }),
  );
}

/** Another evening of the bank's `i`th grill, warmed up for 50 min with probes that say what is so. */
export function warmUp(i: number, day: number, prior: GrillPrior | null = null, every = 2): EngineState {
  const { plan } = bankCook(i);
  const person = { ...plan.person, pizzas: 0, peeks: 0 };
  const truth = cook({ ...plan, seed: plan.seed + day, duration: 3000, person });
  const state = startIn(truth.stoneBand, { prior });
  run(state, probed(truth, 3000, every));
  return state;
}

export const fresh = (config: EngineConfig = CONFIG): EngineState => engine.start(config);

export const statesOf = (outputs: readonly EngineOutput[]) =>
  outputs.flatMap((output) => (output.type === 'state' ? [output.state] : []));
/** When, s, something was noticed. */
export const noticedAt = (outputs: readonly EngineOutput[], event: string): number[] =>
  outputs.flatMap((output) => (output.type === 'noticed' && output.event === event ? [output.at] : []));
export const alertsOf = (outputs: readonly EngineOutput[]) =>
  outputs.flatMap((output) => (output.type === 'alert' ? [output.alert] : []));
export const tap = (t: number, event: CookEvent): EngineInput => ({ kind: 'event', t, event });
