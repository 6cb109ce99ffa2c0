import { WALL, type Material } from './material.ts';

/**
 * How a grill is made up in the simulator, apart from its sizes: what is cut into how many layers, which ways heat takes,
 * where the probes sit. An engine that only knows one of these has learnt the simulator, not grills.
 */
export type Structure = {
  /** Layers that the stone is cut into; fine: as many as keep each below 1.5 mm, so that the top one is the face. */
  stoneLayers: number | 'fine';
  wall: { layers: number; material: Material };
  /** Convection inside and of the hot stream under the deflector, W/(m²·K). */
  convection: number;
  plume: number;
  /** Gas of the dome with the thin metal that follows it, J/K. */
  gasCapacity: number;
  /** Gas that passes through the gap under the stone, as convection onto its underside, W/(m²·K). */
  gapFlow: number;
  /** Shares of the glowing bed that deflector and wall see. */
  shine: { deflector: number; wall: number };
  /** Share of gas in what a dome probe feels; the rest is the inner face of the wall. */
  domeGasShare: number;
  probe: StoneProbe;
};

/**
 * Where the stone's probe sits. `drilled`: so deep below the face, m; `contact`: laid on, so that it feels a share of
 * the gas that changes whenever something moves; `under`: against the underside, and the band is meant for there.
 */
export type StoneProbe =
  | { kind: 'face' }
  | { kind: 'drilled'; depth: number }
  | { kind: 'contact'; share: number }
  | { kind: 'under' };

/** The one of the fixtures. Convection: textbook range 5 to 15 for slow hot air; the rest own estimates, see README. */
export const PLAIN: Structure = {
  stoneLayers: 'fine',
  wall: { layers: 6, material: WALL },
  convection: 13,
  plume: 4.5,
  gasCapacity: 3000,
  gapFlow: 0,
  shine: { deflector: 0.06, wall: 0.5 },
  domeGasShare: 0.72,
  probe: { kind: 'face' },
};
