import { describe, expect, test } from 'vitest';
import { createPizza } from '../../simulator/physics/pizza.ts';
import { stepWorld } from '../../simulator/physics/step.ts';
import { addFuel, createWorld, placePizza, storedHeat, takePizza } from '../../simulator/physics/world.ts';
import { caseOf } from '../case-bank.ts';
import { sameGrill, variedCook } from './cooks.ts';
import { ASPECTS, type Half } from './structures.ts';

const HALVES: Half[] = ['tune', 'held'];
const grills = (half: Half) => Array.from({ length: 24 }, (_, i) => variedCook(half, i).plan.grill);

test('given the two halves, they share no number of layers, no placement of the probes and no heat path', () => {
  const { tune, held } = ASPECTS;
  expect(tune.stoneLayers.filter((count) => held.stoneLayers.includes(count))).toEqual([]);
  const walls = held.walls.map(({ layers }) => layers);
  expect(tune.walls.filter(({ layers }) => walls.includes(layers))).toEqual([]);
  const overlap = ([a, b]: readonly [number, number], [c, d]: readonly [number, number]): boolean =>
    a < d && c < b;
  for (const aspect of ['domeGasShare', 'gapFlow', 'convection'] as const)
    for (const mine of tune[aspect])
      for (const other of held[aspect]) expect(overlap(mine, other)).toBe(false);
});

test('given a half, its grills differ in layers, walls, probes and fires', () => {
  for (const half of HALVES) {
    const all = grills(half);
    expect(new Set(all.map(({ structure }) => structure.stoneLayers)).size).toBe(
      ASPECTS[half].stoneLayers.length,
    );
    expect(new Set(all.map(({ structure }) => structure.probe.kind)).size).toBeGreaterThan(1);
    expect(new Set(all.map(({ fire }) => fire.follows === null)).size).toBe(2);
  }
});

describe.each(HALVES)('every structure of the half %s', (half) => {
  test('given a cook with lid, pizza, rain and fuel, heat released is heat lost and heat stored', () => {
    for (const grill of grills(half).slice(0, 8)) {
      const world = createWorld(grill, 12);
      const pass = (seconds: number): void => {
        for (let t = 0; t < seconds; t += 0.5) stepWorld(world, { wind: 3, rain: 1 }, 0.5);
      };
      pass(900);
      world.lidOpen = true;
      placePizza(world, createPizza(0.06, 22));
      pass(20);
      world.lidOpen = false;
      pass(300);
      takePizza(world);
      addFuel(world, 0.4);
      world.vent = 0.1;
      pass(700);
      const { released, lost } = world.ledger;
      expect(released).toBeGreaterThan(2e6);
      // rounding of some thousand steps of megajoules
      expect(Math.abs(storedHeat(world) - (released - lost))).toBeLessThan(1);
    }
  });
});

test('given a probe under the surface, what it feels is not the surface, and the truth is', () => {
  const drilled = Array.from({ length: 24 }, (_, i) => variedCook('tune', i)).find(
    ({ plan }) => plan.grill.structure.probe.kind === 'drilled',
  );
  if (!drilled) throw new Error('no drilled stone among the first');
  const { truth, lines } = caseOf({ ...drilled, plan: { ...drilled.plan, duration: 1500 } });
  const felt = lines.flatMap((line) =>
    'celsius' in line && line.channel === 'stone' && line.t > 1200 && typeof line.celsius === 'number'
      ? [(truth.stone[Math.floor(line.t)] ?? 0) - line.celsius]
      : [],
  );
  const lags = felt.toSorted((a, b) => a - b)[felt.length >> 1] ?? 0;
  expect(lags).toBeGreaterThan(0.5);
  expect(lags).toBeLessThan(40);
});

test('given several cooks of a grill, grill and probes stay and evening and person change', () => {
  const cooks = sameGrill('tune', 1, 4, false);
  expect(new Set(cooks.map(({ plan }) => JSON.stringify(plan.grill.structure))).size).toBe(1);
  expect(new Set(cooks.map(({ stone }) => JSON.stringify(stone))).size).toBe(1);
  expect(new Set(cooks.map(({ plan }) => plan.weather.ambient)).size).toBe(4);
  expect(sameGrill('tune', 1, 4, true).every(({ plan }) => plan.person.habit === 'steady')).toBe(true);
});
