import { baseDose, topDose, type Dose, REFERENCE } from './dose.ts';
import type { Touch } from '../stone/contact.ts';

/** A place that is followed: its last trustworthy value and the dose up to then. */
type Followed = { t: number; celsius: number | null; dose: number };

/**
 * A pizza on the stone, as far as its readings go; plain JSON. Doses are seconds at the reference (270 °C stone,
 * 250 °C dome). Times are seconds since the cook started.
 */
export type Bake = {
  launchedAt: number;
  base: Followed;
  top: Followed;
  lidOpen: boolean;
  /** Seconds that the lid has been open since the launch, up to `lidAt`. */
  lidOpenFor: number;
  lidAt: number;
};

/** What a bake is told. A null value (not trustworthy) changes nothing: the last one holds. */
export type BakeInput =
  { kind: 'stone' | 'dome'; t: number; celsius: number | null } | { kind: 'lid'; t: number; open: boolean };

/** A new bake, with stone and dome as last seen; null where they were not. */
export const startBake = (
  launchedAt: number,
  stone: number | null,
  dome: number | null,
  lidOpen = false,
): Bake => ({
  launchedAt,
  base: { t: launchedAt, celsius: stone, dose: 0 },
  top: { t: launchedAt, celsius: dome, dose: 0 },
  lidOpen,
  lidOpenFor: 0,
  lidAt: launchedAt,
});

/** Where nothing was ever read, time counts as at the reference: common practice by the clock. */
function follow(place: Followed, t: number, celsius: number | null, dose: Dose, reference: number): Followed {
  const seconds = Math.max(0, t - place.t);
  const to = celsius ?? place.celsius;
  const from = place.celsius ?? to;
  const done = from === null || to === null ? dose(reference, reference, seconds) : dose(from, to, seconds);
  return { t: Math.max(t, place.t), celsius: to, dose: place.dose + done };
}

/** An open lid leaves the top without its dome: nothing browns it. */
const NO_DOSE: Dose = () => 0;
const topWhile = (bake: Bake): Dose => (bake.lidOpen ? NO_DOSE : topDose);

const base = (bake: Bake, t: number, celsius: number | null, touch?: Touch): Followed =>
  follow(bake.base, t, celsius, baseDose(touch), REFERENCE.stone);
const top = (bake: Bake, t: number, celsius: number | null): Followed =>
  follow(bake.top, t, celsius, topWhile(bake), REFERENCE.dome);

/** The bake after this input. `touch` is the stone's and the dough's; absent, cordierite with a dough of 22 °C. */
export function stepBake(bake: Bake, input: BakeInput, touch?: Touch): Bake {
  if (input.kind === 'lid') {
    const openFor = bake.lidOpen ? Math.max(0, input.t - bake.lidAt) : 0;
    return {
      ...bake,
      top: top(bake, input.t, null),
      lidOpen: input.open,
      lidOpenFor: bake.lidOpenFor + openFor,
      lidAt: input.t,
    };
  }
  if (input.kind === 'stone') return { ...bake, base: base(bake, input.t, input.celsius, touch) };
  return { ...bake, top: top(bake, input.t, input.celsius) };
}

/** Both brought up to `t`, the last values held: what the pizza has had by now. */
export const bakeAt = (bake: Bake, t: number, touch?: Touch): Bake => ({
  ...bake,
  base: base(bake, t, null, touch),
  top: top(bake, t, null),
});
