import type { Band } from '../../../shared/engine.ts';
import type { Material, StoneSetup } from '../../../shared/evening/evening.ts';
import { ZERO_CELSIUS_K, differenceText, type Unit } from '../../../shared/units.ts';
import { STEFAN_BOLTZMANN } from './contact-temperature.ts';
import { diffusivity, MATERIAL_PROPERTIES } from './materials.ts';

/** Diffusion time L²/α, s: how long heat takes through a stone (textbook). 5 to 60 mm. */
export const diffusionSeconds = (thicknessMm: number, alpha: number): number =>
  (thicknessMm / 1000) ** 2 / alpha;

/** Slowest mode of a plate with one face insulated, s: 4L²/(π²α) (textbook). */
export const slowestMode = (thicknessMm: number, alpha: number): number =>
  (4 * diffusionSeconds(thicknessMm, alpha)) / Math.PI ** 2;

/**
 * Seconds until the stone is warm right through, once its surface holds: its far face is `lagC` behind at first and
 * `withinC` at the end; the first mode of a step, (4/π)·ΔT·e^(−t/τ) = withinC. Both °C, lag the larger.
 */
export function soakSeconds(material: Material, thicknessMm: number, lagC: number, withinC: number): number {
  const tau = slowestMode(thicknessMm, diffusivity(MATERIAL_PROPERTIES[material]));
  return Math.max(0, tau * Math.log(((4 / Math.PI) * lagC) / withinC));
}

/** The far face is so far behind the near one as that reaches its band, and at the end of the soak, °C (our estimate). */
const [LAG, SETTLED] = [40, 3];
/** Beside what the stone needs to be warm right through, min (common practice, no source). */
const EXTRA_SOAK_MINUTES = 5;

/** Minutes for which a stone is held in its band, once its surface is there, before the first launch. */
export const soakMinutes = ({
  material,
  thicknessMm,
}: Pick<StoneSetup, 'material' | 'thicknessMm'>): number =>
  EXTRA_SOAK_MINUTES + Math.round(soakSeconds(material, thicknessMm, LAG, SETTLED) / 60);

/** Air in a gap, W/mK, and emissivity of both faces (from memory). */
const [K_AIR, EMISSIVITY] = [0.045, 0.9];

/**
 * Heat transfer across an air gap, W/m²K: h = k/d + 4σT̄³/(1/ε₁ + 1/ε₂ − 1). Gap 0.5 to 100 mm, faces up to 600 °C.
 * Below that the plate counts as resting: see RESTING_W_M2K.
 */
export function gapTransfer(gapMm: number, faceC: number, otherC: number): number {
  const mean = (faceC + otherC) / 2 + ZERO_CELSIUS_K;
  return (1000 * K_AIR) / gapMm + (4 * STEFAN_BOLTZMANN * mean ** 3) / (2 / EMISSIVITY - 1);
}

/** A plate that rests on the deflector, and its upper face to the dome, W/m²K (our estimate). */
const RESTING_W_M2K = 300;
const UPPER_FACE_W_M2K = 45;

/** Where the stone settles, °C: T_s = (h_b·T_b + h_t·T_t)/(h_b + h_t), deflector below and dome above. */
export const equilibrium = (belowTransfer: number, belowC: number, domeC: number): number =>
  (belowTransfer * belowC + UPPER_FACE_W_M2K * domeC) / (belowTransfer + UPPER_FACE_W_M2K);

const transferAcross = (gapMm: number, stoneC: number, belowC: number): number =>
  gapMm < 0.5 ? RESTING_W_M2K : gapTransfer(gapMm, stoneC, belowC);

/** Deflector temperature, °C, that explains a settled stone: the balance solved for T_b, four rounds for h(T). */
function deflectorFrom(stoneC: number, domeC: number, gapMm: number): number {
  let below = stoneC + 30;
  for (let i = 0; i < 4; i++) {
    const h = transferAcross(gapMm, stoneC, below);
    below = stoneC + (UPPER_FACE_W_M2K * (stoneC - domeC)) / h;
  }
  return Math.min(below, 600);
}

/** Stone and dome as they stood when settled, °C, and what is wanted of both. */
export type Settled = {
  stoneC: number;
  domeC: number;
  stone: Band;
  dome: Band;
  setup: StoneSetup;
  /** Bases judged scorched less bases judged pale. */
  scorched?: number;
};

const middle = ([low, high]: Band): number => (low + high) / 2;
/** Stone and dome this near to what is wanted of their difference, °C, is left alone. */
const NEAR_CELSIUS = 12;
/** Beyond this, mm, a wider gap hardly helps, since what radiates does not mind (radiation between plates, textbook). */
const WIDE_GAP_MM = 20;
/** A change that takes off less than this share of what is too much is not advised. */
const MIN_SHARE = 0.2;

function wider({ stoneC, domeC, setup }: Settled, excess: number, unit: Unit): string {
  const runs = `The stone runs ${differenceText(stoneC - domeC, unit)} over the dome`;
  if (setup.gapMm >= WIDE_GAP_MM)
    return `${runs}, and the gap is wide already: shield it with a second plate, or bake with a smaller fire for longer.`;
  const below = deflectorFrom(stoneC, domeC, setup.gapMm);
  const at = (gap: number): number => equilibrium(transferAcross(gap, stoneC, below), below, domeC);
  const gaps = [5, 10, 15, WIDE_GAP_MM].filter((gap) => gap > setup.gapMm);
  const chosen = gaps.find((gap) => stoneC - at(gap) >= excess) ?? WIDE_GAP_MM;
  const drop = stoneC - at(chosen);
  // A gap that is worth next to nothing is no advice.
  if (drop < MIN_SHARE * excess)
    return `${runs}, and a wider gap would hardly change it: shield it with a second plate, or bake with a smaller fire for longer.`;
  const rest = drop < excess / 2 ? '; the rest takes a second plate, or a smaller fire for longer' : '';
  return `${runs}: widen the gap under it to about ${chosen} mm (worth about ${differenceText(drop, unit)} by the heat balance)${rest}.`;
}

function narrower({ stoneC, domeC, setup }: Settled, unit: Unit): string {
  const text =
    domeC > stoneC
      ? `${differenceText(domeC - stoneC, unit)} under`
      : `only ${differenceText(stoneC - domeC, unit)} over`;
  const cure = setup.gapMm > 5 ? 'narrow the gap under it' : 'let it soak longer before the first launch';
  return `The stone runs ${text} the dome: ${cure}.`;
}

/**
 * Advice from a cook's settled stone and dome; null where their difference is about what the bands want, or where the
 * bases were judged the opposite: what was tasted counts for more than what was reckoned.
 */
export function settingAdvice(settled: Settled, unit: Unit = 'C'): string | null {
  const wanted = middle(settled.stone) - middle(settled.dome);
  const excess = settled.stoneC - settled.domeC - wanted;
  if (Math.abs(excess) <= NEAR_CELSIUS) return null;
  if (excess * (settled.scorched ?? 0) < 0) return null;
  return `${excess > 0 ? wider(settled, excess, unit) : narrower(settled, unit)} Our estimate.`;
}
