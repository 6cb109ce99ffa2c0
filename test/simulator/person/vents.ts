import type { Person, Sight } from './person.ts';

/** A vent has marks, and people move it by marks. */
const MARKS = [0, 0.03, 0.06, 0.1, 0.15, 0.22, 0.32, 0.45, 0.65, 1] as const;

function nearestMark(opening: number): number {
  let best = 0;
  MARKS.forEach((mark, i) => {
    if (Math.abs(mark - opening) < Math.abs((MARKS[best] ?? 0) - opening)) best = i;
  });
  return best;
}

/** The opening some marks further, between almost shut and wide open. */
export function moveMarks(opening: number, by: number): number {
  const to = Math.min(MARKS.length - 1, Math.max(1, nearestMark(opening) + by));
  return MARKS[to] ?? opening;
}

/** Where the stone will be in `minutes`, as someone guesses who knows that a climb slows down. */
const guess = (sight: Sight, minutes: number): number => sight.stone + sight.perMinute * minutes * 0.75;

function careful(person: Person, sight: Sight): number {
  const [low, high] = person.band;
  const aim = (low + high) / 2;
  const ahead = guess(sight, person.foresight) - aim;
  const width = (high - low) / 2;
  // the dip under a pizza is no reason to stoke: a little more air, no more
  if (sight.baking) return sight.dome < aim - 45 ? Math.max(sight.vent, 0.22) : sight.vent;
  // a dome far over the stone's band is the fire running ahead
  const roaring = sight.dome > high + 40;
  if (roaring && sight.vent > 0.32) return moveMarks(sight.vent, -1);
  // thinks of the vents once the stone is within reach
  if (sight.stone < low - 90 && ahead < width) return sight.vent;
  if (ahead > 2.2 * width) return moveMarks(sight.vent, -2);
  if (ahead > 0.6 * width) return moveMarks(sight.vent, -1);
  if (roaring) return sight.vent;
  if (ahead < -2.2 * width) return moveMarks(sight.vent, 2);
  if (ahead < -0.6 * width) return moveMarks(sight.vent, 1);
  return sight.vent;
}

/** Sees only what is, and shuts or opens with a will. */
function late(person: Person, sight: Sight): number {
  const [low, high] = person.band;
  if (sight.stone > high) return Math.min(sight.vent, 0.1);
  if (sight.stone < low - 12 && sight.vent < 0.3 && sight.perMinute < 0) return 0.45;
  return sight.vent;
}

/** Afraid of the heat: nearly shut long before the band, and patient beyond reason. */
function starved(person: Person, sight: Sight): number {
  const [low] = person.band;
  if (sight.stone > low - 150 && sight.t < 3600) return 0;
  return sight.t > 4200 && sight.stone < low - 60 ? 0.65 : sight.vent;
}

/** Never leaves the vents alone and never thinks ahead. */
function eager(person: Person, sight: Sight): number {
  const [low, high] = person.band;
  if (sight.stone < low - 45) return 1;
  if (sight.stone > high || sight.perMinute > 4) return moveMarks(sight.vent, -3);
  return sight.stone < (low + high) / 2 && sight.perMinute < 1
    ? moveMarks(sight.vent, 2)
    : moveMarks(sight.vent, -1);
}

/** One guess, made once: to a fixed mark when the stone nears its band. */
const once = (person: Person, sight: Sight): number =>
  sight.stone > person.band[0] - 60 ? Math.min(sight.vent, 0.22) : sight.vent;

/** Where the dome is to be: a little above the middle of the stone's band, which it holds the stone at. */
const domeWanted = ({ band: [low, high] }: Person): number => (low + high) / 2 + 12;

/** Looks at the dome and nothing else: opens below, closes above, and never thinks of the stone. */
function byDome(person: Person, sight: Sight): number {
  const off = sight.dome - domeWanted(person);
  if (off < -60) return sight.vent;
  if (off > 12 && sight.domePerMinute > -4) return moveMarks(sight.vent, off > 40 ? -2 : -1);
  return off < -12 && sight.domePerMinute < 2 ? moveMarks(sight.vent, 1) : sight.vent;
}

/** Brings the dome near and then holds it with a patient hand, thinking a few minutes ahead. */
function steady(person: Person, sight: Sight): number {
  const ahead = sight.dome + 4 * sight.domePerMinute - domeWanted(person);
  if (sight.baking || Math.abs(ahead) < 6) return sight.vent;
  if (sight.dome < domeWanted(person) - 90) return sight.vent;
  return moveMarks(sight.vent, ahead > 0 ? (ahead > 45 ? -2 : -1) : ahead < -45 ? 2 : 1);
}

/** A plain rule: where the stone will be in eight minutes, as it goes. */
function rule({ band: [low, high] }: Person, sight: Sight): number {
  const ahead = sight.stone + 8 * sight.perMinute;
  if (ahead > high) return moveMarks(sight.vent, ahead > high + 40 ? -3 : -1);
  if (ahead < low) return moveMarks(sight.vent, ahead < low - 40 ? 3 : 1);
  return sight.vent;
}

/** Follows what is advised, unless it is about what the vents are at. */
function advised(_: Person, { advised: share, vent }: Sight): number {
  if (share === null) return vent;
  return Math.abs(share - vent) <= 0.12 * Math.max(share, 0.1) ? vent : share;
}

const HABITS: Record<Person['habit'], (person: Person, sight: Sight) => number> = {
  careful,
  late,
  never: (_, sight) => sight.vent,
  starved,
  eager,
  set: once,
  'by-dome': byDome,
  steady,
  rule,
  advised,
};

/** The opening this person now wants. */
export const wantedVent = (person: Person, sight: Sight): number => HABITS[person.habit](person, sight);
