import { expect, test } from 'vitest';
import { FINE_EVENING, GRILLS, type Grill, type GrillName } from './grill.ts';
import { createPizza } from './pizza.ts';
import { stepWorld } from './step.ts';
import { slabHeat } from './slab.ts';
import {
  addFuel,
  createWorld,
  domeFelt,
  placePizza,
  stoneSurface,
  storedHeat,
  takePizza,
  type World,
} from './world.ts';

const NAMES = Object.keys(GRILLS) as GrillName[]; // its keys are that
const DT = 0.5;

function live(world: World, seconds: number, sky = { wind: FINE_EVENING.wind, rain: 0 }): void {
  for (let t = 0; t < seconds; t += DT) stepWorld(world, sky, DT);
}

/** Seconds until `is` holds, or null after three hours. */
function until(world: World, is: (world: World) => boolean): number | null {
  for (let t = 0; t < 10_800; t += 10) {
    if (is(world)) return t;
    live(world, 10);
  }
  return null;
}

const lit = (grill: Grill, vent = 1): World => ({ ...createWorld(grill, 18), vent });

test.each(NAMES)('%s: heat released is heat lost and heat stored, whatever is done', (name) => {
  const world = lit(GRILLS[name]);
  live(world, 1500);
  world.lidOpen = true;
  placePizza(world, createPizza(0.06, 22));
  live(world, 20, { wind: 4, rain: 3 });
  world.lidOpen = false;
  live(world, 400, { wind: 4, rain: 3 });
  takePizza(world);
  addFuel(world, 0.5);
  world.vent = 0.1;
  live(world, 1500);
  const { released, lost } = world.ledger;
  expect(released).toBeGreaterThan(10e6);
  // rounding of some ten thousand steps of megajoules
  expect(Math.abs(storedHeat(world) - (released - lost))).toBeLessThan(1);
});

test.each(NAMES)('%s: the stone comes to 250 °C in some tens of minutes', (name) => {
  // heat balance by hand, properties from memory: 12.4 MJ warm a 60 kg body; a fire of 0.3 to 2.5 kg/h gives them in 10 min to 1.5 h
  const seconds = until(lit(GRILLS[name]), (world) => stoneSurface(world) >= 250);
  expect(seconds).not.toBeNull();
  expect(seconds ?? 0).toBeGreaterThan(15 * 60);
  expect(seconds ?? 0).toBeLessThan(90 * 60);
});

test('holding a dome of 230 to 300 °C burns 0.3 to 1 kg an hour', () => {
  // heat balance by hand, properties from memory
  const world = lit(GRILLS.middling, 1);
  until(world, (now) => domeFelt(now) > 260);
  world.vent = 0.2;
  live(world, 2400);
  const before = world.ledger.released;
  live(world, 600);
  expect(domeFelt(world)).toBeGreaterThan(215);
  expect(domeFelt(world)).toBeLessThan(300);
  const kilograms = ((world.ledger.released - before) / 29.5e6) * 6;
  expect(kilograms).toBeGreaterThan(0.3);
  expect(kilograms).toBeLessThan(1);
});

test('closing the vents lowers the dome at once and the stone late', () => {
  const world = lit(GRILLS.thick);
  until(world, (now) => stoneSurface(now) >= 270);
  const [dome, stone] = [domeFelt(world), stoneSurface(world)];
  world.vent = 0.05;
  live(world, 240);
  expect(domeFelt(world)).toBeLessThan(dome - 40);
  expect(stoneSurface(world)).toBeGreaterThan(stone);
});

test('a soaked grill that is shut cools from 200 to 100 °C in one to four hours', () => {
  // lumped body by hand: 0.63 to 1.5 h for a lumped body, longer in life
  const world = lit(GRILLS.middling, 0.3);
  live(world, 5400);
  world.vent = 0;
  world.fire.lit = 0;
  world.fire.unlit = 0;
  until(world, (now) => domeFelt(now) <= 200);
  const seconds = until(world, (now) => domeFelt(now) <= 100);
  expect(seconds ?? 0).toBeGreaterThan(0.63 * 3600);
  expect(seconds ?? Infinity).toBeLessThan(4 * 3600);
});

test('a pizza draws tens of kilojoules from the stone and leaves most of its water', () => {
  // heat balance by hand: 60 kJ drawn drop the mean of a 350 mm × 15 mm disc by 23 °C
  const world = lit(GRILLS.middling, 0.25);
  until(world, (now) => stoneSurface(now) >= 270);
  const [zone] = world.zones;
  const stoneHeat = (): number => slabHeat(zone.slab, 18) * zone.area;
  const before = stoneHeat();
  placePizza(world, createPizza(0.0616, 22));
  live(world, 60);
  const drawn = before - stoneHeat();
  expect(drawn).toBeGreaterThan(25e3);
  expect(drawn).toBeLessThan(140e3);
  live(world, 390);
  const middle = world.zones[0].pizza?.slab.layers[2] ?? 0;
  expect(middle).toBeGreaterThan(90);
  expect(middle).toBeLessThan(130);
});

test('wind, rain and cold make the dome cooler at the same vents', () => {
  const fine = lit(GRILLS.middling, 0.3);
  const foul = { ...createWorld(GRILLS.middling, 2), vent: 0.3 };
  live(fine, 4000);
  live(foul, 4000, { wind: 0, rain: 4 });
  expect(domeFelt(foul)).toBeLessThan(domeFelt(fine));
});

test('a fire that is starved early goes out', () => {
  const world = lit(GRILLS.middling);
  live(world, 600);
  world.vent = 0;
  world.grill = { ...world.grill, vents: { ...world.grill.vents, leak: 0.002 } };
  live(world, 7200);
  expect(world.fire.lit).toBeLessThan(0.05);
  expect(world.fire.unlit).toBeGreaterThan(0.8);
});

test('the middle of a two-zone stone falls under a pizza and its rim hardly', () => {
  const world = lit(GRILLS.twoZone, 0.3);
  until(world, (now) => stoneSurface(now) >= 260);
  const [middle, rim] = world.zones;
  const before = [middle.slab.layers[0] ?? 0, rim?.slab.layers[0] ?? 0];
  placePizza(world, createPizza(0.0616, 22));
  live(world, 120);
  expect(middle.slab.layers[0]).toBeLessThan((before[0] ?? 0) - 40);
  expect(rim?.slab.layers[0]).toBeGreaterThan((before[1] ?? 0) - 10);
});
