import { bedCapacity, createFire, layOn, type Fire } from './fire.ts';
import type { Grill } from './grill.ts';
import { pizzaHeat, type Pizza } from './pizza.ts';
import { atDepth, bottom, createSlab, slabHeat, top, type Slab } from './slab.ts';

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

const C_DEFLECTOR = 900;
/** Layers no thicker than this, m, so that the top one is the surface for a probe. */
const LAYER = 0.0015;

const layersOf = (thickness: number, count: number | 'fine'): number =>
  count === 'fine' ? Math.max(4, Math.ceil(thickness / LAYER)) : count;

function createZones({ stone, structure }: Grill, celsius: number): World['zones'] {
  const count = layersOf(stone.thickness, structure.stoneLayers);
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
    wall: createSlab(
      grill.structure.wall.material,
      grill.wall.thickness,
      grill.structure.wall.layers,
      ambient,
    ),
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
    grill.structure.gasCapacity * (world.gas - ambient) +
    slabHeat(world.wall, ambient) * grill.wall.inner +
    deflectorCapacity(grill) * (world.deflector - ambient)
  );
}

/** A place of the stone where its probe is, °C: middle and rim by what the probe has of each. */
function ofStone({ zones, grill }: World, place: (slab: Slab) => number): number {
  const middle = place(zones[0].slab);
  const rim = zones[1] ? place(zones[1].slab) : middle;
  const share = grill.stone.probeOnMiddle;
  return share * middle + (1 - share) * rim;
}

/** What the band is meant for, °C: the truth that is scored. */
export const stoneSurface = (world: World): number =>
  ofStone(world, world.grill.structure.probe.kind === 'under' ? bottom : top);

/** What the stone's probe is at, °C. @param loose 0 to 2: how much of its share of gas a laid-on probe now feels */
export function stoneFelt(world: World, loose: number): number {
  const { probe } = world.grill.structure;
  if (probe.kind === 'drilled') return ofStone(world, (slab) => atDepth(slab, probe.depth));
  const there = stoneSurface(world);
  return probe.kind === 'contact' ? there + probe.share * loose * (world.gas - there) : there;
}

/** What a probe in the dome feels, °C: mostly gas, some of the wall. */
export function domeFelt({ gas, wall, grill }: World): number {
  const share = grill.structure.domeGasShare;
  return share * gas + (1 - share) * top(wall);
}

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
  const { fire, ambient, grill } = world;
  const heat = bedCapacity(fire) * (fire.celsius - ambient);
  layOn(fire, charcoal, grill.fire.delay);
  fire.celsius = ambient + heat / bedCapacity(fire);
}
