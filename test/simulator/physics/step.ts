import { bedCapacity, burn } from './fire.ts';
import { drawConductance, stepPizza, type Pizza } from './pizza.ts';
import { airGapConductance, enclosed, facing, radiantConductance } from './radiation.ts';
import { bottom, layerCapacity, stepSlab, top } from './slab.ts';
import { deflectorCapacity, type World, type Zone } from './world.ts';

/**
 * The heat balance of the whole grill, one step. Every flow is worked out once, as a conductance times a difference,
 * and given to both of its ends, so that heat is conserved to rounding. Small bodies (bed, gas) are solved implicitly.
 */

/** What the sky does in this second: wind, m/s, and rain, mm/h. */
export type Sky = { wind: number; rain: number };

const C_AIR = 1060; // J/(kg·K), hot air
const RHO_AIR = 1.2; // kg/m³ at 20 °C
const KELVIN = 273.15;
const GRAVITY = 9.81;
/** Discharge coefficient of a vent. Textbook, sharp edged. */
const DISCHARGE = 0.6;
/** Share of the bed's excess that its air takes up passing through. Own estimate. */
const BED_PICKS_UP = 0.68;

/** Two vents in series: 1/A² = 1/A_b² + 1/A_t². */
const inSeries = (a: number, b: number): number => 1 / Math.hypot(1 / a, 1 / b);

/** Air through the fire, kg/s: ṁ = C_d·A·√(2ρΔp), Δp = ρgH(1 − T_a/T_gas) + 0.08·ρv²/2 of wind. */
export function airFlow(world: World, sky: Sky): number {
  const { vents, fire } = world.grill;
  const opening = vents.leak + (1 - vents.leak) * world.vent;
  const warm = Math.max(0, 1 - (world.ambient + KELVIN) / (world.gas + KELVIN));
  const pressure = RHO_AIR * GRAVITY * vents.height * warm + 0.04 * RHO_AIR * sky.wind ** 2 + 0.05;
  const through =
    DISCHARGE * inSeries(vents.bottom * opening, vents.top * opening) * Math.sqrt(2 * RHO_AIR * pressure);
  // ash fills the grate
  const air = through / (1 + fire.clogs * world.fire.burnt);
  return world.lidOpen ? Math.max(air, 0.007) : air;
}

export function stepWorld(world: World, sky: Sky, dt: number): void {
  const air = airFlow(world, sky) * C_AIR; // W/K
  const plume = stepBed(world, sky, air, dt);
  stepGas(world, sky, air, plume, dt);
}

type Plume = { entry: number; toDeflector: number; toWall: number };

/** Share of the grate that glows, by the two thirds power of what is lit. */
const glowing = ({ lit }: World['fire']): number => Math.min(1, (Math.max(0, lit) / 0.45) ** (2 / 3));

/** Burns, heats the air that passes, and shines on deflector and wall. */
function stepBed(world: World, sky: Sky, air: number, dt: number): Plume {
  const { fire, grill, ambient, ledger, deflector, wall } = world;
  const before = bedCapacity(fire) * (fire.celsius - ambient);
  const released = burn(fire, grill.fire, air / C_AIR, dt);
  ledger.released += released;
  const capacity = bedCapacity(fire);
  fire.celsius = ambient + before / capacity;
  const area = grill.grate * glowing(fire);
  const { shine } = grill.structure;
  const shineDeflector = shine.deflector * area * radiantConductance(0.85, fire.celsius, deflector);
  const shineWall = shine.wall * area * radiantConductance(0.85, fire.celsius, top(wall));
  // air that misses the glow stays cold
  const picksUp = BED_PICKS_UP * (0.08 + 0.92 * glowing(fire));
  const intoAir = picksUp * air;
  const pull = shineDeflector * deflector + shineWall * top(wall) + intoAir * ambient;
  const sum = shineDeflector + shineWall + intoAir;
  fire.celsius = (capacity * fire.celsius + released + dt * pull) / (capacity + dt * sum);
  return {
    entry: ambient + picksUp * (fire.celsius - ambient),
    toDeflector: shineDeflector * (fire.celsius - deflector),
    toWall: shineWall * (fire.celsius - top(wall)),
  };
}

/** Conductances from the gas to its surroundings, W/K. */
function gasConductances(
  world: World,
  sky: Sky,
): { wall: number; deflector: number; stone: number; underside: number; open: number } {
  const { grill, lidOpen } = world;
  const covered = lidOpen ? 0.5 : 1;
  const h = grill.structure.convection;
  return {
    wall: h * grill.wall.inner * covered,
    deflector: h * Math.max(0.01, grill.deflector.area - grill.stone.area),
    stone: h,
    underside: grill.structure.gapFlow,
    open: lidOpen ? grill.lid * (1 + 0.2 * sky.wind) : 0,
  };
}

/** Gas, then everything that it and the bed touch. */
function stepGas(world: World, sky: Sky, air: number, plume: Plume, dt: number): void {
  const { ambient, grill, wall, zones, ledger } = world;
  const g = gasConductances(world, sky);
  // the hot stream first washes the underside of the deflector
  const washes = grill.structure.plume * grill.deflector.area;
  const wash = (air * washes) / (air + washes);
  const toDeflector = wash * (plume.entry - world.deflector);
  const lossPerKelvin = air + g.open;
  let pull =
    air * plume.entry - toDeflector + g.open * ambient + g.wall * top(wall) + g.deflector * world.deflector;
  let sum = lossPerKelvin + g.wall + g.deflector;
  for (const zone of zones) {
    pull += g.stone * zone.area * surface(zone);
    sum += g.stone * zone.area;
    pull += g.underside * zone.area * bottom(zone.slab);
    sum += g.underside * zone.area;
  }
  const { gasCapacity } = grill.structure;
  const gas = (gasCapacity * world.gas + dt * pull) / (gasCapacity + dt * sum);
  world.gas = gas;
  ledger.lost += lossPerKelvin * (gas - ambient) * dt;
  const stone = stepZones(world, dt);
  const toRing = g.deflector * (gas - world.deflector);
  world.deflector +=
    (dt * (plume.toDeflector + toDeflector + toRing - stone.fromDeflector)) / deflectorCapacity(grill);
  stepWall(world, sky, plume.toWall + g.wall * (gas - top(wall)) - stone.fromWall, dt);
}

/** Share of a zone that lies under the pizza. */
const covers = (pizza: Pizza | null, area: number): number => (pizza ? Math.min(1, pizza.area / area) : 0);

/** What faces the dome: the pizza's top, where one covers the zone, and bare stone. */
function surface({ slab, pizza, area }: Zone): number {
  const share = covers(pizza, area);
  return pizza ? share * top(pizza.slab) + (1 - share) * top(slab) : top(slab);
}

type Flows = { fromDeflector: number; fromWall: number };

function stepZones(world: World, dt: number): Flows {
  const { zones, ledger } = world;
  const flows = { fromDeflector: 0, fromWall: 0 };
  const across = lateral(world);
  zones.forEach((zone, i) => {
    const sideways = ((i === 0 ? -across : across) / zone.area) * 0.5;
    ledger.lost += stepZone(world, zone, sideways, flows, dt);
  });
  return flows;
}

/** Flow from the middle to the rim, W: k·thickness·perimeter/distance between their centres. */
function lateral({ zones, grill: { stone } }: World): number {
  const [middle, rim] = zones;
  if (rim === undefined) return 0;
  const perimeter = 2 * Math.sqrt(Math.PI * middle.area);
  const distance = Math.sqrt(stone.area / Math.PI) / 2;
  const conductance = (stone.material.k * stone.thickness * perimeter) / distance;
  return conductance * (top(middle.slab) - top(rim.slab));
}

/** Radiation and convection onto a face that looks at the dome, as flux W/m² split by where it comes from. */
function downward(world: World, face: number, epsilon: number): { wall: number; gas: number; sky: number } {
  const open = world.lidOpen ? 0.75 : 0;
  const wall = top(world.wall);
  const fromWall = radiantConductance(enclosed(epsilon, 0.9, 0.25), wall, face) * (wall - face);
  const fromSky = radiantConductance(epsilon, world.ambient, face) * (world.ambient - face);
  return {
    wall: (1 - open) * fromWall,
    gas: world.grill.structure.convection * (world.gas - face),
    sky: open * fromSky,
  };
}

/** What one face of a zone takes in, W/m² of the zone, and what left it for good, J. */
type SurfaceLoss = { flux: number; lost: number };

/** The part of a zone that no pizza covers. */
function takeBare(world: World, { slab, area }: Zone, bare: number, flows: Flows, dt: number): SurfaceLoss {
  const { wall, gas, sky } = downward(world, top(slab), slab.material.epsilon);
  flows.fromWall += wall * bare * area;
  return { flux: bare * (wall + gas + sky), lost: -sky * bare * area * dt };
}

/** The part under a pizza: the dome shines on the pizza, the pizza draws from the stone. */
function takeCovered(
  world: World,
  { slab, area }: Zone,
  pizza: Pizza,
  flows: Flows,
  dt: number,
): SurfaceLoss {
  const share = covers(pizza, area);
  const { wall, gas, sky } = downward(world, top(pizza.slab), pizza.slab.material.epsilon);
  const draw = drawConductance(pizza, slab) * (top(slab) - bottom(pizza.slab));
  flows.fromWall += wall * share * area;
  const steam = stepPizza(pizza, wall + gas + sky, draw, dt);
  return { flux: -draw * share, lost: (steam - sky * dt) * share * area };
}

/**
 * One zone with its pizza. The gas was solved against `surface`, the mean of what faces it, so the same mean flow is
 * given out by shares. @returns heat that left by steam and to the sky, J.
 */
function stepZone(world: World, zone: Zone, sideways: number, flows: Flows, dt: number): number {
  const { slab, pizza, area } = zone;
  const epsilon = facing(slab.material.epsilon, 0.9);
  const under = airGapConductance(world.grill.stone.gap, epsilon, world.deflector, bottom(slab));
  const fromDeflector = under * (world.deflector - bottom(slab));
  const up = fromDeflector + world.grill.structure.gapFlow * (world.gas - bottom(slab));
  flows.fromDeflector += fromDeflector * area;
  const bare = takeBare(world, zone, 1 - covers(pizza, area), flows, dt);
  const covered = pizza ? takeCovered(world, zone, pizza, flows, dt) : { flux: 0, lost: 0 };
  stepSlab(slab, bare.flux + covered.flux + sideways, up + sideways, dt);
  return bare.lost + covered.lost;
}

/** The body: heat in through its inner face; air, radiation, wind and rain outside. */
function stepWall(world: World, sky: Sky, watts: number, dt: number): void {
  const { wall, grill, ambient, ledger } = world;
  const outside = bottom(wall);
  const open = world.lidOpen ? 0.12 * radiantConductance(0.9, top(wall), ambient) * (top(wall) - ambient) : 0;
  const h = 4 + 3.2 * sky.wind ** 0.6 + radiantConductance(0.9, outside, ambient);
  const dry = h * grill.wall.outer * (outside - ambient);
  // 2.45 MJ/kg to dry off rain; a quarter of the outside faces it, and a cool wall lets most of it run off
  const wet =
    ((sky.rain / 3600) * 2.45e6 * grill.wall.outer * Math.min(1, Math.max(0, outside - ambient) / 80)) / 4;
  // never more than the outer layer can give in one step
  const most = (0.2 * layerCapacity(wall) * grill.wall.inner * (outside - ambient)) / dt;
  const lost = Math.min(dry + wet, Math.max(0, most));
  ledger.lost += (lost + open) * dt;
  stepSlab(wall, (watts - open) / grill.wall.inner, -lost / grill.wall.inner, dt);
}
