import { bedCapacity, createFire, type Fire } from './fire.ts';
import type { Grill } from './grill.ts';
import { WALL } from './material.ts';
import { pizzaHeat, type Pizza } from './pizza.ts';
import { createSlab, slabHeat, top, type Slab } from './slab.ts';

/** One part of the stone that has one temperature across: the whole of it, or its middle and its rim. */
export type Zone = { slab: Slab; area: number; pizza: Pizza | null };

/** Everything that has a temperature, and the two hands' worth of things a person moves. Temperatures °C. */
export type World = {
  grill: Grill;
  ambient: number;
  fire: Fire;
  gas: number;
  wall: Slab;
  deflector: number;
  zones: [Zone, ...Zone[]];
  /** Opening of the vents, 0 shut to 1 wide open. */
  vent: number;
  lidOpen: boolean;
  /** J since the start: released by fire and brought by fuel and pizzas; gone by flue, wall, lid and steam. */
  ledger: { released: number; lost: number };
};

/** Hot gas with the grids and thin metal that follow it, J/K. Own estimate: 6 kg of steel. */
export const GAS_CAPACITY = 3000;
const C_DEFLECTOR = 900;
/** Layers no thicker than this, m, so that the top one is the surface for a probe. */
const LAYER = 0.0015;

function createZones({ stone }: Grill, celsius: number): World['zones'] {
  const count = Math.max(4, Math.ceil(stone.thickness / LAYER));
  const zone = (share: number): Zone => ({
    slab: createSlab(stone.material, stone.thickness, count, celsius),
    area: stone.area * share,
    pizza: null,
  });
  return stone.middle < 1 ? [zone(stone.middle), zone(1 - stone.middle)] : [zone(1)];
}

export function createWorld(grill: Grill, ambient: number): World {
  return {
    grill,
    ambient,
    fire: createFire(grill.charcoal, 0.08, ambient),
    gas: ambient,
    wall: createSlab(WALL, grill.wall.thickness, 6, ambient),
    deflector: ambient,
    zones: createZones(grill, ambient),
    vent: 1,
    lidOpen: false,
    ledger: { released: 0, lost: 0 },
  };
}

export const deflectorCapacity = ({ deflector }: Grill): number => deflector.mass * C_DEFLECTOR;

/** Heat stored above ambient, J: what `ledger.released − ledger.lost` must equal. */
export function storedHeat(world: World): number {
  const { ambient, grill, fire } = world;
  const zones = world.zones.reduce(
    (sum, { slab, area, pizza }) =>
      sum + slabHeat(slab, ambient) * area + (pizza === null ? 0 : pizzaHeat(pizza, ambient)),
    0,
  );
  return (
    zones +
    bedCapacity(fire) * (fire.celsius - ambient) +
    GAS_CAPACITY * (world.gas - ambient) +
    slabHeat(world.wall, ambient) * grill.wall.inner +
    deflectorCapacity(grill) * (world.deflector - ambient)
  );
}

/** Surface of the stone where its probe is, °C: the truth that is scored. */
export function stoneSurface({ zones, grill }: World): number {
  const middle = top(zones[0].slab);
  const rim = zones[1] ? top(zones[1].slab) : middle;
  const share = grill.stone.probeOnMiddle;
  return share * middle + (1 - share) * rim;
}

/** What a probe in the dome feels, °C: mostly gas, some of the wall. */
export const domeFelt = ({ gas, wall }: World): number => 0.72 * gas + 0.28 * top(wall);

export function placePizza(world: World, pizza: Pizza): void {
  const [zone] = world.zones;
  pizza.area = Math.min(pizza.area, zone.area);
  zone.pizza = pizza;
  world.ledger.released += pizzaHeat(pizza, world.ambient);
}

export function takePizza(world: World): void {
  const [zone] = world.zones;
  if (zone.pizza === null) return;
  world.ledger.lost += pizzaHeat(zone.pizza, world.ambient);
  zone.pizza = null;
}

/** Cold charcoal, kg, onto the bed: it brings no heat above ambient and shares what is there. */
export function addFuel(world: World, charcoal: number): void {
  const { fire, ambient } = world;
  const heat = bedCapacity(fire) * (fire.celsius - ambient);
  fire.unlit += charcoal;
  fire.celsius = ambient + heat / bedCapacity(fire);
}
