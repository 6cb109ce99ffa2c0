/** A token bucket: `most` at once, and `perSecond` more as time goes on. */
type Allowance = { most: number; perSecond: number };
type Level = { left: number; at: number };

/** More than this many who are counted at once: those whose bucket is full again are forgotten. */
const MAX_COUNTED = 4096;

type Limit = {
  /** Takes one. @param at s on a clock that never jumps @returns whether there was one */
  take(who: string, at: number): boolean;
  /** Whether there is one, without taking it. */
  has(who: string, at: number): boolean;
};

const levelAfter = ({ most, perSecond }: Allowance, before: Level, at: number): number =>
  Math.min(most, before.left + Math.max(0, at - before.at) * perSecond);

/** One bucket for each who, made when they first come. */
export function createLimit(allowance: Allowance): Limit {
  const levels = new Map<string, Level>();
  const leftOf = (who: string, at: number): number => {
    const before = levels.get(who);
    return before ? levelAfter(allowance, before, at) : allowance.most;
  };
  /** Nobody can make memory grow: those who have waited long enough are as good as new; past that the oldest goes. */
  function tidy(at: number): void {
    for (const [who, level] of levels)
      if (levelAfter(allowance, level, at) >= allowance.most) levels.delete(who);
    for (const who of levels.keys()) {
      if (levels.size <= MAX_COUNTED) return;
      levels.delete(who);
    }
  }
  return {
    has: (who, at) => leftOf(who, at) >= 1,
    take(who, at) {
      const left = leftOf(who, at);
      const good = left >= 1;
      levels.delete(who); // so that the order of the map is the order of the last visit
      levels.set(who, { left: good ? left - 1 : left, at });
      if (levels.size > MAX_COUNTED) tidy(at);
      return good;
    },
  };
}
