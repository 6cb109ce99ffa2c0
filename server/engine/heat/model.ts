/**
 * A grey-box heat model of the stone: two nodes of it, surface S and bulk B, between what is above (the dome D, which is
 * measured, and the inner wall W) and what is below (the deflector, base P). Models of a few resistors and capacitors
 * whose parameters are fitted by the errors of prediction of a Kalman filter are the usual ones for buildings: Madsen & Holst,
 * Energy and Buildings 22 (1995) 67–79; Bacher & Madsen, Energy and Buildings 43 (2011) 1511–1522.
 *
 *   c·dS/dt       = a·(D − S) + r·φ(W,S)·(W − S) − k·(S − B) − u·(S − M) + c·d
 *   (1 − c)·dB/dt = b·(¼ + ¾·φ(P,B))·(P − B) + k·(S − B) + (1 − c)·d
 *   dW/dt = (D − W)/τ_w
 *   dP/dt = (D + g·(D − W) + e·(D − T₀) − P)/τ_p
 *   dM/dt = 6·u·(S − M) of a pizza on the stone, a tenth of it once its base boils
 *   φ(x,y) = (((x + y)/2 + 273.15)/523.15)³, what radiation between two bodies grows by, 1 at 250 °C
 *
 * Temperatures °C, times s; a, r, b, k, u in 1/s: a conductance over the heat capacity of the whole stone. T₀: the cold
 * grill. g: the fire heats the deflector the more, the further the dome is ahead of its wall; e: what stays of that.
 * d, °C/s: what the model does not know, a process after Ornstein and Uhlenbeck.
 */
export type Parameters = {
  a: number;
  r: number;
  b: number;
  k: number;
  tauW: number;
  tauP: number;
  g: number;
  e: number;
  u: number;
};

/** Stone surface, bulk, disturbance, wall, base, pizza: S, B, d, W, P, M of the equations. */
export type Heat = {
  surface: number;
  bulk: number;
  extra: number;
  wall: number;
  base: number;
  pizza: number;
};

/** Spelled out: of each `{ ...heat }` V8 makes a hidden class of its own, and a step on many of them takes ten times as long. */
export const copyOfHeat = ({ surface, bulk, extra, wall, base, pizza }: Heat): Heat => ({
  surface,
  bulk,
  extra,
  wall,
  base,
  pizza,
});

/** What acts on the stone during a step: dome and cold grill, °C; is the lid up, does a pizza lie on the stone. */
export type Drive = { dome: number; ground: number; isOpen: boolean; isCovered: boolean };

/** Share of the stone's heat capacity that goes with its surface: c. */
export const SURFACE_SHARE = 0.3;
/** How long a disturbance lasts, s. */
export const DISTURBANCE_TAU_SECONDS = 1800;
/** What a pizza leaves free of the stone; how much of the sky the stone sees under an open lid. */
const FREE_SHARE = 0.6;
const SKY_SHARE = 0.75;
/** A pizza warms faster than the stone cools by so much, being lighter; a base that boils, °C, by this share of it. */
const PIZZA_WARMING_RATIO = 6;
const BASE_BOILS_CELSIUS = 95;
const BOILING_WARMING_SHARE = 0.1;

const radiant = (x: number, y: number): number => {
  const m = ((x + y) / 2 + 273.15) / 523.15;
  return m * m * m;
};

/** F of the linearised step for (S, B, d): the coupling of surface and bulk and what each keeps of itself. */
export type Coupling = { ss: number; sb: number; bs: number; bb: number; dd: number };

/** Conductances of a step over the heat capacity of the stone, 1/s, radiation at the temperatures as they are. */
const aboveOf = (wall: number, { ground, isOpen }: Drive): number =>
  isOpen ? (1 - SKY_SHARE) * wall + SKY_SHARE * ground : wall;
const fromBase = (p: Parameters, base: number, bulk: number): number =>
  p.b * (0.25 + 0.75 * radiant(base, bulk));

/** One step of `dt` seconds, explicit, in place. @param keeps what is left of a disturbance after it, e^(−dt/τ) */
export function advance(heat: Heat, p: Parameters, drive: Drive, dt: number, keeps: number): void {
  const { surface: S, bulk: B, extra: d, wall: W, base: P, pizza: M } = heat;
  const { dome: D, ground, isCovered } = drive;
  const free = isCovered ? FREE_SHARE : 1;
  const above = aboveOf(W, drive);
  const r = free * p.r * radiant(above, S);
  const u = isCovered ? p.u : 0;
  const across = p.k * (S - B);
  heat.surface =
    S + (dt / SURFACE_SHARE) * (free * p.a * (D - S) + r * (above - S) - across - u * (S - M)) + dt * d;
  heat.bulk = B + (dt / (1 - SURFACE_SHARE)) * (fromBase(p, P, B) * (P - B) + across) + dt * d;
  heat.extra = keeps * d;
  heat.wall = W + ((D - W) * dt) / p.tauW;
  heat.base = P + ((D + p.g * (D - W) + p.e * (D - ground) - P) * dt) / p.tauP;
  heat.pizza = isCovered
    ? M + PIZZA_WARMING_RATIO * u * dt * (S - M) * (M < BASE_BOILS_CELSIUS ? 1 : BOILING_WARMING_SHARE)
    : ground;
}

/** F of the step that is to be taken from `heat` on: how it carries small errors of (S, B, d). */
export function couplingOf(heat: Heat, p: Parameters, drive: Drive, dt: number, keeps: number): Coupling {
  const free = drive.isCovered ? FREE_SHARE : 1;
  const r = free * p.r * radiant(aboveOf(heat.wall, drive), heat.surface);
  const u = drive.isCovered ? p.u : 0;
  const cs = dt / SURFACE_SHARE;
  const cb = dt / (1 - SURFACE_SHARE);
  return {
    ss: 1 - cs * (free * p.a + r + p.k + u),
    sb: cs * p.k,
    bs: cb * p.k,
    bb: 1 - cb * (fromBase(p, heat.base, heat.bulk) + p.k),
    dd: keeps,
  };
}
