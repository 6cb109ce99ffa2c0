/** Heat capacities, kJ/kgK, and heat of melting ice, kJ/kg (physics tables, recalled). */
const [C_FLOUR, C_WATER, MELTING] = [1.8, 4.19, 334];
/** Bowl, hook and air take part as this share of the dough's heat capacity, at the room's temperature (our estimate). */
const BOWL_SHARE = 0.1;
/** Friction F of the bakers' rule warms the dough by a third of it: the rule counts three temperatures for one. */
const FRICTION_RULE_DIVISOR = 3;
/** Water poured in, °C: colder is ice, and yeast is harmed from about 49 °C. */
const MAX_WATER_CELSIUS = 45;
/** Of the water, at most this share goes in as ice: more does not melt in kneading (our estimate). */
const MAX_ICE_SHARE = 0.5;

/** What is mixed, per gram of flour in all; °C. `preferment` in grams of its flour and water. */
export type Mixing = {
  hydration: number;
  flourC: number;
  roomC: number;
  tapC: number;
  frictionC: number;
  preferment?: { flour: number; water: number; celsius: number };
};

/** °C of the dough after kneading and of the water; ice per gram of flour, out of the water and counted in it. */
export type Mixed = { doughC: number; waterC: number; ice: number };

/** Heat of all but the water, kJ per kg of flour against 0 °C, heat capacity of all, and grams of water to pour. */
function withoutWater({ hydration, flourC, roomC, preferment }: Mixing) {
  const own = preferment ?? { flour: 0, water: 0, celsius: roomC };
  const pre = own.flour * C_FLOUR + own.water * C_WATER;
  const flour = (1 - own.flour) * C_FLOUR;
  const water = Math.max(0, hydration - own.water);
  const dough = pre + flour + water * C_WATER;
  const heat = pre * own.celsius + flour * flourC + BOWL_SHARE * dough * roomC;
  return { heat, capacity: (1 + BOWL_SHARE) * dough, water };
}

/**
 * Water, its temperature and its ice for a dough of `wantC`, from one heat balance: Σ m·c·T of flour, preferment, bowl
 * and water, less what melts the ice, plus friction. Where water of 45 °C or half the water as ice do not do it, the
 * dough comes out as warm as it can be had, and that is what is returned. Water at the tap's temperature can always be
 * warmed; it is cooled by ice.
 */
export function mix(mixing: Mixing, wantC: number): Mixed {
  const { heat, capacity, water } = withoutWater(mixing);
  const rise = mixing.frictionC / FRICTION_RULE_DIVISOR;
  const wanted = capacity * (wantC - rise) - heat;
  const tap = water * C_WATER * mixing.tapC;
  const melts = MELTING + C_WATER * mixing.tapC;
  const ice = Math.min(MAX_ICE_SHARE * water, Math.max(0, (tap - wanted) / melts));
  const given = ice > 0 ? tap - ice * melts : Math.min(wanted, water * C_WATER * MAX_WATER_CELSIUS);
  const waterC = water > 0 ? Math.max(0, given / (water * C_WATER)) : mixing.tapC;
  return { doughC: (heat + given) / capacity + rise, waterC, ice };
}

/** Friction F, °C, of a mixer from a dough that was measured after kneading: 3·(T_found − T_without friction). */
export function frictionFrom(foundC: number, mixing: Mixing, { waterC, ice }: Omit<Mixed, 'doughC'>): number {
  const { heat, capacity, water } = withoutWater(mixing);
  // Ice beyond what brings the water to 0 °C melts in the dough.
  const given = ice > 0 ? (water - ice) * C_WATER * mixing.tapC - ice * MELTING : water * C_WATER * waterC;
  return FRICTION_RULE_DIVISOR * (foundC - (heat + given) / capacity);
}
