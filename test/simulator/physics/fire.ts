/**
 * A bed of charcoal in four masses and one temperature. Burning is limited by two things in series, the air that the
 * vents let through and the surface of what glows, in the form that heat exchangers use:
 *
 *   burn = (ṁ_air/11.5)·(1 − e^(−N)),  N = s(T)·m_lit·11.5/ṁ_air
 *
 * so much air with little glowing burns s·m_lit, and little air burns all of its oxygen. What burns lights what lies
 * next to it, in proportion to the heat and to how much is still unlit: growth is fast at first, then runs along the
 * air limit, then ends with the fuel. A bed that falls under 480 °C goes out piece by piece.
 *
 * Other fires burn otherwise: one that `follows` its air with a lag, one that takes off late, one on which new coals lie
 * dark for minutes, one that dies for want of air, one whose ash chokes it.
 */
export type Fire = {
  /** Glowing, not yet lit, kg. */
  lit: number;
  unlit: number;
  /** Laid on and still too cold to take part, kg, each until so many seconds from now. */
  dark: { kg: number; left: number }[];
  /** Burnt so far, kg. */
  burnt: number;
  /** Mean temperature of the bed, °C. */
  celsius: number;
  /** Seconds of firelighter left. */
  starter: number;
  /** Burnt in the last step, kg/s, and share of the oxygen used, 0 to 1. */
  burning: number;
  oxygenUsed: number;
};

export type FireTraits = {
  /** Heating value, J/kg: lump 29–33e6 (retail measurements; from memory). */
  heat: number;
  /** Burning in plenty of air, per kg glowing, 1/s. Own estimate: 1 kg of glowing lump lasts about half an hour. */
  speed: number;
  /** kg newly lit for each kg burnt while all the rest is unlit. Own estimate, sets the growth. */
  spread: number;
  /** Power of the firelighter, W, and how long it burns, s. Own estimate. */
  starterPower: number;
  /** Seconds by which burning lags the air that the vents let in, whatever its surface; null: limited by it as above. */
  follows: number | null;
  /** How much slower it spreads while the bed is below 600 °C: (T/600)^takeOff. */
  takeOff: number;
  /** Seconds for which new coals lie dark. */
  delay: number;
  /** Share of the glow that dies in a minute without oxygen to spare. */
  starves: number;
  /** Share by which ash lowers the flow of air for each kg burnt. */
  clogs: number;
};

/** kg of air for a kg of carbon, complete burning (stoichiometry). */
export const AIR_PER_CARBON = 11.5;
/** Heat capacity of glowing charcoal, J/(kg·K), and of grate and firebrick that go with it, as kg of it. Recalled. */
const C_COAL = 1100;
const GRATE = 0.3;
const GOES_OUT_BELOW = 480;

export const bedCapacity = ({ lit, unlit, dark }: Fire): number =>
  C_COAL * (GRATE + lit + 0.2 * (unlit + dark.reduce((sum, { kg }) => sum + kg, 0)));

export const createFire = (charcoal: number, lit: number, celsius: number): Fire => ({
  lit,
  unlit: charcoal - lit,
  dark: [],
  burnt: 0,
  celsius,
  starter: 420,
  burning: 0,
  oxygenUsed: 0,
});

/** New charcoal on the bed, kg; it lies dark for `delay` seconds. */
export function layOn(fire: Fire, kg: number, delay: number): void {
  if (delay > 0) fire.dark.push({ kg, left: delay });
  else fire.unlit += kg;
}

/** How eagerly glowing charcoal takes oxygen at the bed's temperature, 0 to 1. Rises from 250 °C to 750 °C. */
const eagerness = (celsius: number): number => Math.min(1, Math.max(0.12, (celsius - 250) / 500));

/** Starved charcoal gives carbon monoxide, which takes heat away with it: up to a fifth. Own estimate. */
const completeness = (oxygenUsed: number): number => 1 - 0.2 * oxygenUsed ** 2;

/**
 * Masses and heat of one step, `air` in kg/s.
 * @returns heat released, J.
 */
export function burn(fire: Fire, traits: FireTraits, air: number, dt: number): number {
  const limit = air / AIR_PER_CARBON;
  const wish = traits.speed * eagerness(fire.celsius) * fire.lit;
  fire.oxygenUsed = limit > 0 ? 1 - Math.exp(-wish / limit) : 1;
  fire.burning = Math.min(burningOf(fire, traits, limit, dt), fire.lit / dt);
  const burnt = fire.burning * dt;
  fire.burnt += burnt;
  wake(fire, dt);
  spreadOrGoOut(fire, traits, burnt, dt);
  const starter = Math.min(fire.starter, dt);
  fire.starter -= starter;
  return burnt * traits.heat * completeness(fire.oxygenUsed) + starter * traits.starterPower;
}

/** kg/s that the air and the surface of the glow allow, or that a fire which follows its air has come to. */
function burningOf(fire: Fire, { follows }: FireTraits, limit: number, dt: number): number {
  if (follows === null) return limit * fire.oxygenUsed;
  const enough = 1 - Math.exp(-fire.lit / 0.2);
  return fire.burning + (limit * enough - fire.burning) * (1 - Math.exp(-dt / follows));
}

/** Dark coals take part once their time is over. */
function wake(fire: Fire, dt: number): void {
  for (const coals of fire.dark) coals.left -= dt;
  for (const { kg, left } of fire.dark) if (left <= 0) fire.unlit += kg;
  if (fire.dark.some(({ left }) => left <= 0)) fire.dark = fire.dark.filter(({ left }) => left > 0);
}

function spreadOrGoOut(fire: Fire, traits: FireTraits, burnt: number, dt: number): void {
  const total = fire.lit + fire.unlit;
  fire.lit -= burnt;
  if (total <= 0) return;
  const eager = Math.min(1, Math.max(0.1, fire.celsius / 600)) ** traits.takeOff;
  const lights = Math.min(fire.unlit, (eager * traits.spread * burnt * fire.unlit) / total);
  const cold = fire.starter > 0 ? 0 : Math.max(0, (GOES_OUT_BELOW - fire.celsius) / GOES_OUT_BELOW);
  const choked = fire.starter > 0 ? 0 : Math.max(0, fire.oxygenUsed - 0.97) / 0.03;
  const goesOut = (fire.lit * cold * dt) / 240 + (fire.lit * traits.starves * choked * dt) / 60;
  fire.lit += lights - goesOut;
  fire.unlit += goesOut - lights;
}
