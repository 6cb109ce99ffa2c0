import type { Quality, Role } from '../../shared/words.ts';
import { ABSURD_ABOVE, ABSURD_BELOW } from '../../shared/units.ts';

/** Plain JSON. */
export type TrustState = { version: 1 };
export const startTrust = (): TrustState => ({ version: 1 });

/** All that the rules may look at. `t` and `late` in seconds, `battery` in percent. */
export type Evidence = {
  /** The probe, or what sent the value where there is none. */
  via: string;
  channel: string;
  role: Role;
  t: number;
  late: number;
  /** Typed in by a person, who may point at one thing now and at another then. */
  byHand: boolean;
  celsius: number | null;
  fault?: string | undefined;
  doubt?: string | undefined;
  range?: readonly [number, number] | undefined;
  clipped: boolean;
  battery?: number | undefined;
};
export type Verdict = { celsius: number | null; quality: Quality; reason?: string };

export function judge(_state: TrustState, evidence: Evidence): Verdict {
  const { celsius, fault, doubt } = evidence;
  if (celsius === null) return { celsius, quality: 'bad', reason: fault ?? 'the probe sent no value' };
  if (!(celsius >= ABSURD_BELOW && celsius <= ABSURD_ABOVE))
    return { celsius: null, quality: 'bad', reason: `${celsius} °C can't be` };
  if (doubt !== undefined) return { celsius, quality: 'uncertain', reason: doubt };
  return { celsius, quality: 'good' };
}
