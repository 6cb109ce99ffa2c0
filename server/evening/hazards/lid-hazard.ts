import { ALERT_KINDS } from '../../../shared/alert/kinds.ts';
import type { LidHazard } from '../../../shared/evening/evening.ts';
import { CAUTIONS } from '../caution-list.ts';
import type { CookSituation } from './situation.ts';
import { isNarrow, isWide } from './vent-state.ts';

/** Below this dome, °C, nothing is said of flaring: one public page says 260; kept lower on purpose. */
const FLARE_ABOVE_CELSIUS = 200;
/** Vents that were opened count as open after so long, s (ours: several times the 10 s that the instruction waits). */
const AIRED_AFTER_SECONDS = 60;
/** A dome that falls by so much, °C/min, with low vents and no lid to explain it, is of a fire without air (ours). */
const STARVING_RATE_PER_MINUTE = -2;
/** A lid upsets the dome for so long, s: until then what was seen before it counts, since the next lid is over that fire. */
export const LID_UPSETS_SECONDS = 240;

/** What stands in each instruction that leads to the lid; common practice, two public grilling-safety pages agree. */
const LID_INSTRUCTION =
  "Before the lid: open the vents, wait 10 s, lift it a hand's breadth, then open; face and arms aside.";

/**
 * Whether opening the lid now could let a starved fire flare, with the instruction that goes before it; null where not.
 * A dome that is not known counts as hot. A lid that is open already is past it.
 */
export function lidHazard(cook: CookSituation): LidHazard | null {
  if (cook.lidOpen || (cook.dome ?? Infinity) < FLARE_ABOVE_CELSIUS) return null;
  const why = starvedBecause(cook);
  return why === null ? null : { text: LID_INSTRUCTION, why, source: CAUTIONS['lid-hot-starved'].source };
}

function starvedBecause({ vents, t, alerts, calm }: CookSituation): string | null {
  const { position, since, statedAt, before } = vents;
  if (isNarrow(position) && statedAt < 0)
    return 'These coals are of the cook before: nobody has said yet that its vents are open.';
  if (isNarrow(position)) return `The vents were said to be ${position === 'shut' ? 'shut' : 'nearly shut'}.`;
  if (isNarrow(before) && t - since < AIRED_AFTER_SECONDS) return 'The vents were opened only just now.';
  // A fall from before the vents were moved says nothing of the air that there is now.
  if (position === 'low' && calm !== null && calm.t >= since && calm.perMinute < STARVING_RATE_PER_MINUTE)
    return 'The vents are low and the dome is falling.';
  const isCalled = alerts.some(
    ({ alert, raisedAt }) =>
      ALERT_KINDS[alert].vents === 'close' && !(isWide(position) && statedAt > raisedAt),
  );
  return isCalled ? 'The fire was to be closed down.' : null;
}
