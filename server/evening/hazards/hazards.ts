import type { LiveCaution, StepName } from '../../../shared/evening/evening.ts';
import type { Unit } from '../../../shared/units.ts';
import { cautionIn, type CautionId } from '../caution-list.ts';
import { lidHazard } from './lid-hazard.ts';
import { isOver } from './baking-over.ts';
import type { CookSituation, Situation } from './situation.ts';

/** A stone this hot, °C, is hurt by water or cold (thermal-shock parameter, textbook: 58 to 75 °C over a room). */
const SHOCK_ABOVE_CELSIUS = 80;
/** A fire is being lit for so long, s, or until the dome is so hot, and has not been below `unlit`, °C (common practice, no source). */
const LIGHTING_UNTIL = { seconds: 25 * 60, dome: 200, unlit: 60 };
/** Water has left a stone by here, °C (ours: well over boiling, since it is hotter outside than in). */
const DRY_ABOVE_CELSIUS = 150;
/** Charcoal is being added until so long after it was said, s. */
const FUELLING_SECONDS = 180;
/** Toppings are near their two hours after so long, s. */
const TOPPINGS_LATE_SECONDS = 105 * 60;
/** With no pizza waiting for so long, s, the evening is over (ours): not everybody lists the next one. */
const ENDING_AFTER_SECONDS = 600;
/** A dome that climbs so fast under a shut lid, °C/min, is more than charcoal (ours). */
const FLARE_RATE_PER_MINUTE = 25;
/** Fire-department guidance: coals and ash, s. */
const ASH_WAITS_SECONDS = 48 * 3600;

/** How dangerous now: the greater the sooner to be read. 0: not of this moment. */
type Rule = (situation: Situation) => number;

const isDue = ({ steps }: Situation, ...names: StepName[]): boolean =>
  names.some((name) => steps.includes(name));

/** A rule that speaks of a running cook alone. */
const inCook =
  (rule: (cook: CookSituation, situation: Situation) => number): Rule =>
  (situation) =>
    situation.cook ? rule(situation.cook, situation) : 0;

/** However long ago the cook began: who has not lit it yet is about to. */
const isUnlit = ({ isSaidLit, dome, stone }: CookSituation): boolean =>
  !isSaidLit && (dome ?? stone ?? Infinity) < LIGHTING_UNTIL.unlit;

const isLighting = (cook: CookSituation): boolean =>
  cook.launched === 0 &&
  ((cook.sinceLit < LIGHTING_UNTIL.seconds && (cook.dome ?? 0) < LIGHTING_UNTIL.dome) || isUnlit(cook));

const lighting =
  (danger: number): Rule =>
  (situation) =>
    isDue(situation, 'light-fire') || (situation.cook && isLighting(situation.cook)) ? danger : 0;

/** The plan says so, or nothing was launched or waited for a while; then the days after. */
function isEnding(situation: Situation): boolean {
  const { cook, sinceEnd } = situation;
  if (isDue(situation, 'shut-down', 'ash-out') || isOver(situation)) return true;
  if (!cook) return sinceEnd !== null && sinceEnd < ASH_WAITS_SECONDS;
  return cook.waiting === 0 && cook.onStone === 0 && (cook.sinceOff ?? 0) > ENDING_AFTER_SECONDS;
}

const isFading = ({ state, alerts }: CookSituation): boolean =>
  state === 'falling' || alerts.some(({ alert }) => alert === 'fire-fading');

/** Fire in the fat, or heat that leads there. */
const mayFlare = ({ alerts, domePerMinute, lidOpen, onStone }: CookSituation): boolean =>
  alerts.some(({ alert }) => alert === 'dome-too-hot') ||
  (!lidOpen && onStone > 0 && (domePerMinute ?? 0) > FLARE_RATE_PER_MINUTE);

const isTopping = (situation: Situation): boolean => {
  const hands = situation.cook?.hands ?? null;
  return isDue(situation, 'toppings') || hands === 'stretch' || hands === 'top';
};

const CAUTION_RULES: Record<CautionId, Rule> = {
  'lid-hot-starved': inCook((cook) => (lidHazard(cook) ? 100 : 0)),
  grease: inCook((cook) => (mayFlare(cook) ? 95 : cook.onStone > 0 ? 20 : 0)),
  smoke: lighting(90),
  'no-fluids': lighting(85),
  place: lighting(80),
  'warm-coals': (situation) => (isEnding(situation) ? 78 : 0),
  charcoal: inCook((cook, situation) => {
    if (cook.sinceFuel !== null && cook.sinceFuel < FUELLING_SECONDS) return 76;
    return isFading(cook) || isDue(situation, 'refuel') ? 60 : 0;
  }),
  'stone-warms-with-fire': (situation) => {
    const dome = situation.cook?.dome ?? 0;
    const isCold = dome > 2 * SHOCK_ABOVE_CELSIUS && (situation.cook?.stone ?? dome) < SHOCK_ABOVE_CELSIUS;
    return isCold || (isDue(situation, 'stone-on') && dome > SHOCK_ABOVE_CELSIUS) ? 74 : 0;
  },
  'first-heat': (situation) => {
    const { cook, stoneIsNew } = situation;
    const isWarming = cook !== null && cook.launched === 0 && (cook.stone ?? 0) < DRY_ABOVE_CELSIUS;
    return stoneIsNew && (isWarming || isDue(situation, 'stone-on')) ? 72 : 0;
  },
  'raw-meat': (situation) => (isTopping(situation) ? (situation.rawMeat ? 70 : 35) : 0),
  ash: (situation) => (isEnding(situation) ? 65 : 0),
  'toppings-warm': (situation) => {
    const isLate = situation.sinceToppings !== null && situation.sinceToppings > TOPPINGS_LATE_SECONDS;
    if (isLate && (situation.cook?.waiting ?? 1) > 0) return 68;
    return isDue(situation, 'toppings') ? 40 : 0;
  },
  'hot-surfaces': (situation) => {
    const isLaunching =
      situation.cook !== null && situation.cook.state === 'ready' && situation.cook.launched === 0;
    return isLaunching || isDue(situation, 'launch') ? 50 : 0;
  },
  'wet-on-hot-stone': inCook((cook, situation) =>
    isEnding(situation) && (cook.stone ?? 0) > SHOCK_ABOVE_CELSIUS ? 45 : 0,
  ),
  'raw-flour': (situation) =>
    isDue(situation, 'weigh', 'mix', 'knead', 'ball', 'stretch') || situation.cook?.hands === 'stretch'
      ? 30
      : 0,
};

/** The cautions of this moment, the most dangerous now first. */
export const hazards = (situation: Situation, unit: Unit = 'C'): LiveCaution[] =>
  Object.entries(CAUTION_RULES)
    .map(([id, rule]) => ({ id: id as CautionId, danger: rule(situation) })) // the keys of CAUTION_RULES
    .filter(({ danger }) => danger > 0)
    .sort((a, b) => b.danger - a.danger)
    .map(({ id }) => cautionIn(id, unit));
